using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Tests.Pieces;
using Pourwright.V1;
using ReachedPiece = Pourwright.Studio.Recalls.ReachedPiece;
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
        Seated = new[] { (Boards, "studios/alder/students/mia-2") }.ToLookup(seat => seat.Item1, seat => seat.Item2),
        Contacts = new Dictionary<string, IReadOnlyList<ContactRecord>> { [PieceFacts.Site.Name] = contacts, ["south"] = contacts },
    };

    private static ReachedPiece Piece(string id, string maker, string castingClass) => new(
        PieceFacts.Piece(V1.Piece.Types.State.Curing) with { Name = $"studios/alder/pieces/{id}", Label = id, Maker = maker, CastingClass = castingClass }, [], false);

    private static StudentRecord Student(string id, string? call = null, bool consent = true, string? email = null) => new()
    {
        Name = $"studios/alder/students/{id}", Studio = "studios/alder", DisplayName = call ?? id, ContactEmail = email ?? $"{id}@post.example",
        ConsentToMessages = consent, Etag = "",
    };
}
