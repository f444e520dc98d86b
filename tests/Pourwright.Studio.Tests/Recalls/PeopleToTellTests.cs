using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Tests.Pieces;
using Pourwright.V1;
using ReachedPiece = Pourwright.Studio.Recalls.ReachedPiece;
using State = Pourwright.V1.Enrolment.Types.State;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Tests.Recalls;

/// <summary>Whom a name on a label means.</summary>
public sealed class PeopleToTellTests
{
    private const string Boards = "studios/alder/classes/boards";

    private static readonly StudentRecord[] Students =
        [Student("mia"), Student("mia-2", "Mia"), Student("rui", consent: false), Student("ada", email: "")];

    [Theory]
    [InlineData("rui", "", "rui", "Did not agree")]
    [InlineData("ADA ", "", "ada", "No e-mail")]
    [InlineData("Mia", "", "", "Several students")]
    [InlineData("Mia", Boards, "mia-2", "")]
    [InlineData("Zoe", Boards, "", "No student")]
    [InlineData("", Boards, "", "No maker")]
    public void Maker_ByTheNameOnTheLabel_IsOneStudentOrNobody(string maker, string castingClass, string student, string obstacle)
    {
        var person = Assert.Single(Decide(Piece("one", maker, castingClass)));

        Assert.Equal((Role.Maker, student), (person.Role, person.Student.Split('/')[^1]));
        Assert.StartsWith(obstacle, person.Obstacle, StringComparison.Ordinal);
        Assert.Equal(obstacle.Length == 0, person.IsReachable);
    }

    // Whoever gave a place back after the pour made a piece all the same; who never took one made none.
    [Theory]
    [InlineData(State.Withdrawn, State.Enrolled, "")]
    [InlineData(State.Enrolled, State.Enrolled, "")]
    [InlineData(State.Waiting, State.Enrolled, "")]
    [InlineData(null, State.Withdrawn, "mia-2")]
    [InlineData(null, State.Expired, "")]
    public void Maker_WhereTwoOfTheNameEverHadAPlace_IsNobody(State? first, State second, string student)
    {
        EnrolmentRecord[] places = [.. first is { } state ? [Place("mia", state)] : Array.Empty<EnrolmentRecord>(), Place("mia-2", second)];

        var person = Assert.Single(PeopleToTell.Decide(new() { Pieces = [Piece("one", "Mia", Boards)] }, Facts() with { Places = places.ToLookup(place => place.Class) }));

        Assert.Equal((student, student.Length > 0), (person.Student.Split('/')[^1], person.IsReachable));
    }

    // Labels say what both were called once; of a class whose other Mia was forgotten nobody knows either.
    [Theory]
    [InlineData("Mia K.", "", false)]
    [InlineData("Mia K.", Boards, false)]
    [InlineData("Rosa", Boards, true)]
    public void Maker_OfANameThatTwoBore_IsNobody(string name, string castingClass, bool isForgotten)
    {
        StudentRecord[] students = [Student("one", name) with { FormerNames = isForgotten ? "" : "Mia" }, Student("two", "Mia")];
        EnrolmentRecord[] places = [Place("one", State.Enrolled), Place("two", State.Enrolled) with { NameShared = isForgotten }];

        var person = Assert.Single(PeopleToTell.Decide(
            new() { Pieces = [Piece("board", "Mia", castingClass)] }, Facts() with { Students = students, Places = places.ToLookup(place => place.Class) }));

        Assert.Equal(("", "Several students"), (person.Student, person.Obstacle[..16]));
    }

    [Fact]
    public void Maker_OfTwoPieces_IsToldOnce() => Assert.Equal(
        [["one", "two"]], Decide(Piece("one", "mia-2", ""), Piece("two", "Mia", Boards)).Select(person => person.Pieces.Select(piece => piece.Label)));

    [Fact]
    public void Contact_OfTwoSites_IsToldOnce()
    {
        ContactRecord olive = new() { Role = Contact.Types.Role.Owner, DisplayName = "Olive", Email = "olive@alder.example", WebhookUri = "" };
        var people = PeopleToTell.Decide(
            new() { Pieces = [Piece("one", "rui", ""), Piece("two", "rui", "") with { Piece = PieceFacts.Piece(V1.Piece.Types.State.Curing) with { Site = "south", Maker = "rui" } }] },
            Facts(olive));

        Assert.Equal(["rui", "Olive"], people.Select(person => person.Person));
    }

    [Fact]
    public void Maker_OfAPieceGivenUp_IsNotTold() => Assert.Empty(
        Decide(Piece("one", "mia", "") with { Piece = PieceFacts.Piece(V1.Piece.Types.State.Scrapped) }));

    private static IReadOnlyList<PersonToTell> Decide(params ReachedPiece[] pieces) => PeopleToTell.Decide(new() { Pieces = pieces }, Facts());

    private static PeopleFacts Facts(params ContactRecord[] contacts) => new()
    {
        Students = Students,
        Places = new[] { Place("mia-2", State.Enrolled) }.ToLookup(place => place.Class),
        Contacts = new Dictionary<string, IReadOnlyList<ContactRecord>> { [PieceFacts.Site.Name] = contacts, ["south"] = contacts },
    };

    private static ReachedPiece Piece(string id, string maker, string castingClass) => new(
        PieceFacts.Piece(V1.Piece.Types.State.Curing) with { Name = $"studios/alder/pieces/{id}", Label = id, Maker = maker, CastingClass = castingClass }, [], false);

    private static EnrolmentRecord Place(string id, State state) => new()
    {
        Name = $"{Boards}/enrolments/{id}", Class = Boards, Student = $"studios/alder/students/{id}", State = state, CreatedMs = 0,
    };

    private static StudentRecord Student(string id, string? call = null, bool consent = true, string? email = null) => new()
    {
        Name = $"studios/alder/students/{id}", Studio = "studios/alder", DisplayName = call ?? id, ContactEmail = email ?? $"{id}@post.example",
        ConsentToMessages = consent, Etag = "",
    };
}
