using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>Who may have to be told.</summary>
public sealed record PeopleFacts
{
    public required IReadOnlyList<StudentRecord> Students { get; init; }

    /// <summary>All who ever asked for a place, by class; given up ones too.</summary>
    public required ILookup<string, EnrolmentRecord> Places { get; init; }

    /// <summary>By site, in the order the site gave them.</summary>
    public required IReadOnlyDictionary<string, IReadOnlyList<ContactRecord>> Contacts { get; init; }
}

/// <summary>One person to tell.</summary>
/// <param name="Person">What people call them; empty where nobody knows.</param>
/// <param name="Student">By name; empty where they are no student on record.</param>
/// <param name="Email">Empty where nothing may or can be sent.</param>
/// <param name="Obstacle">Why not, and what to do; empty where it can.</param>
/// <param name="Site">Whose quiet hours and contacts count.</param>
/// <param name="Pieces">Those that concern a maker; a contact is concerned by the whole list.</param>
public sealed record PersonToTell(
    Role Role, string Person, string Student, string Email, string Obstacle, string Site, IReadOnlyList<PieceRecord> Pieces)
{
    public bool IsReachable => Email.Length > 0;

    public RecallNotice ToProto() => new()
    {
        Role = Role, Person = Person, Student = Student, Pieces = { Pieces.Select(piece => piece.Name) }, Reachable = IsReachable, Obstacle = Obstacle,
        ObstacleKind = Obstacles.KindOf(Obstacle),
    };
}

/// <summary>Finds whom a list concerns: the makers of its pieces, and the contacts of its sites, each once.</summary>
/// <remarks>
/// A piece keeps its maker's name as on the label. It is one student where one place in the class ever bore that name, else where the whole
/// studio has it only once; of two alike nobody is written to, since it would be the wrong one as often as the right one. A place
/// that was never taken makes nobody a maker, but may be one of two.
/// </remarks>
public sealed class PeopleToTell
{
    private readonly PeopleFacts _facts;
    private readonly ILookup<(string Class, string Student), EnrolmentRecord> _places;
    private readonly ILookup<string, StudentRecord> _byCall;

    private PeopleToTell(PeopleFacts facts)
    {
        _facts = facts;
        _places = facts.Places.SelectMany(places => places).ToLookup(place => (place.Class, place.Student));
        _byCall = facts.Students.SelectMany(student => student.Names.Select(name => name.Trim()).Concat([ResourceNames.IdOf(student.Name), student.Name])
                .Distinct(StringComparer.OrdinalIgnoreCase).Select(call => (call, student)))
            .ToLookup(pair => pair.call, pair => pair.student, StringComparer.OrdinalIgnoreCase);
    }

    /// <summary>Makers in the order of their first piece, then contacts. Pieces that were given up concern nobody outside.</summary>
    public static IReadOnlyList<PersonToTell> Decide(Reach reach, PeopleFacts facts)
    {
        var people = new PeopleToTell(facts);
        return
        [
            .. reach.Pieces.Select(reached => reached.Piece).Where(piece => piece.State != Piece.Types.State.Scrapped)
                .Select(people.MakerOf).GroupBy(found => found.Key)
                .Select(same => same.First().Maker with { Pieces = [.. same.SelectMany(found => found.Maker.Pieces)] }),
            .. people.Contacts(SitesOf(reach)),
        ];
    }

    /// <summary>The sites where pieces, stock or open mixes are.</summary>
    public static IReadOnlyList<string> SitesOf(Reach reach) =>
    [
        .. reach.Pieces.Select(reached => reached.Piece.Site).Concat(reach.Stock.Select(contents => contents.Container.Site))
            .Concat(reach.Mixes.Where(mix => mix.RemainingMassMg > 0).Select(mix => mix.Site)).Distinct().Order(StringComparer.Ordinal),
    ];

    /// <summary>Sites where things are to be set apart, and nobody can be written to about it.</summary>
    public static IReadOnlyList<string> SilentSites(Reach reach, PeopleFacts facts) =>
        [.. SitesOf(reach).Where(site => facts.Contacts[site].All(contact => contact.Email.Length == 0))];

    private (string Key, PersonToTell Maker) MakerOf(PieceRecord piece)
    {
        var maker = piece.Maker.Trim();
        if (maker.Length == 0)
            return ($"|{piece.Site}", Unknown(piece, Obstacles.NoMaker));
        var found = Candidates(maker, piece.CastingClass);
        return found switch
        {
            [var student] when !IsShared(student, piece.CastingClass) => (student.Name, Known(piece, student)),
            [] => ($"{maker}|{piece.CastingClass}", Unknown(piece, Obstacles.NotOnRecord)),
            _ => ($"{maker}|{piece.CastingClass}", Unknown(piece, Obstacles.NameOfSeveral)),
        };
    }

    private StudentRecord[] Candidates(string maker, string castingClass)
    {
        StudentRecord[] called = [.. _byCall[maker].DistinctBy(student => student.Name)];
        StudentRecord[] placed = [.. called.Where(student => _places.Contains((castingClass, student.Name)))];
        return placed.Length > 1 || (placed is [var one] && _places[(castingClass, one.Name)].Any(place => place.HoldsSeat || place.State == Enrolment.Types.State.Withdrawn)) ? placed : called;
    }

    /// <summary>Of two of the name in the class one was forgotten: the piece may be either's.</summary>
    private bool IsShared(StudentRecord student, string castingClass) => _places[(castingClass, student.Name)].Any(place => place.NameShared);

    private static PersonToTell Known(PieceRecord piece, StudentRecord student) => new(
        Role.Maker, student.DisplayName, student.Name, student.IsReachable ? student.ContactEmail : "", ObstacleOf(student), piece.Site, [piece]);

    private static PersonToTell Unknown(PieceRecord piece, string obstacle) => new(Role.Maker, piece.Maker.Trim(), "", "", obstacle, piece.Site, [piece]);

    private static string ObstacleOf(StudentRecord student) => student switch
    {
        { IsReachable: true } => "",
        { ConsentToMessages: false } => Obstacles.NoConsent,
        _ => Obstacles.NoAddress,
    };

    private IEnumerable<PersonToTell> Contacts(IReadOnlyList<string> sites) => sites
        .SelectMany(site => _facts.Contacts[site].Select(contact => (site, contact)))
        .GroupBy(one => one.contact.Email.Length > 0 ? one.contact.Email : $"{one.site}|{one.contact.DisplayName}")
        .Select(same => same.First())
        .Select(one => new PersonToTell(
            Role.Contact, one.contact.DisplayName, "", one.contact.Email,
            one.contact.Email.Length > 0 ? "" : Obstacles.NoAddress, one.site, []));
}
