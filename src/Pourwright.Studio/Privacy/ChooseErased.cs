using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.StudentLinks;

namespace Pourwright.Studio.Privacy;

/// <summary>A piece that bears a name of the student, or to which they were given a link.</summary>
/// <param name="Maker">What its label says; any words where it is linked.</param>
/// <param name="Class">The class by name; empty where it is of none.</param>
/// <param name="IsLinked">The student was given a link to it.</param>
/// <param name="IsLinkedToAnother">Another student was.</param>
/// <param name="HasNamesake">Another student of the studio goes by what its label says.</param>
internal sealed record NamedPiece(string Name, string Maker, string Class, bool IsLinked, bool IsLinkedToAnother, bool HasNamesake);

/// <summary>What is known of a student who is to be forgotten.</summary>
/// <param name="Places">Theirs, with all places of each class.</param>
/// <param name="Pieces">Those of the studio that bear a name of theirs, in whatever letters, or are linked to them.</param>
internal sealed record ErasureFacts(
    StudentRecord Student, IReadOnlyList<(EnrolmentRecord Place, IReadOnlyList<EnrolmentRecord> All)> Places, IReadOnlyList<NamedPiece> Pieces);

/// <summary>Which pieces are a student's, so that their name goes and no other's.</summary>
internal static class ChooseErased
{
    /// <param name="said">Those that somebody says are the student's.</param>
    /// <exception cref="Refusal">FIELD_INVALID where one of them bears another name.</exception>
    public static IReadOnlyList<NamedPiece> Decide(ErasureFacts facts, IReadOnlyList<string> said)
    {
        if (said.Except(facts.Pieces.Select(piece => piece.Name)).FirstOrDefault() is { } foreign)
            throw Refusal.Invalid("pieces", foreign, "must bear the student's name or id as maker. Leave it out: it does not name the student.");
        return [.. facts.Pieces.Where(piece => IsTheirs(piece, facts) || said.Contains(piece.Name)).OrderBy(piece => piece.Name, StringComparer.Ordinal)];
    }

    /// <summary>What a label may call a student: people and recalls take the id for a name as well.</summary>
    public static bool Calls(string maker, StudentRecord student) =>
        student.Names.Any(name => OwnPieces.IsSame(maker, name)) || OwnPieces.IsSame(maker, ResourceNames.IdOf(student.Name)) || OwnPieces.IsSame(maker, student.Name);

    /// <summary>Whether what names a maker by the label alone names this one: it is about nothing but their pieces.</summary>
    public static bool IsAboutNoneBut(string person, IReadOnlyCollection<string> about, IReadOnlyList<NamedPiece> theirs) =>
        about.Count > 0 && about.All(name => theirs.Any(piece => piece.Name == name && OwnPieces.IsSame(piece.Maker, person)));

    /// <summary>By a link, by the only seat of that name in its class, or where nobody else of the studio goes by what its label says.</summary>
    private static bool IsTheirs(NamedPiece piece, ErasureFacts facts) => (piece.IsLinked, piece.IsLinkedToAnother) switch
    {
        (true, false) => !piece.HasNamesake || Calls(piece.Maker, facts.Student),
        (false, true) => false,
        _ => Calls(piece.Maker, facts.Student) && (HasTheOnlySeat(piece, facts) || (!piece.HasNamesake && !MayBeOfOneForgotten(piece, facts))),
    };

    private static bool MayBeOfOneForgotten(NamedPiece piece, ErasureFacts facts) =>
        facts.Places.Any(place => place.Place.Class == piece.Class && place.Place.NameShared);

    private static bool HasTheOnlySeat(NamedPiece piece, ErasureFacts facts) =>
        facts.Places.Any(place => place.Place.Class == piece.Class && OwnPieces.Of(place.Place, place.All, [new(piece.Name, piece.Maker)]).Count > 0);
}
