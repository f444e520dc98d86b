using CsCheck;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.StudentLinks;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.StudentLinks;

public sealed class OwnPiecesTests
{
    private static readonly Gen<string> Name = Gen.Int[0, 5].Select(index => new[] { "Anna", "ANNA ", "Mia", "Noa", " mia", "Anna B" }[index]);

    [Theory]
    [InlineData("Anna", "Mia", "own")]
    [InlineData(" ANNA", "Mia", "own")]
    [InlineData("Anna B", "Mia", "")]
    [InlineData("", "Mia", "")]
    // Two Annas, in whatever letters: neither is shown the other's piece.
    [InlineData("Anna", "anna ", "")]
    public void Piece_IsShownToTheOnlyOneOfItsName(string maker, string other, string shown)
    {
        var (anna, second) = (Place("a", "Anna"), Place("b", other));

        Assert.Equal(shown, string.Join(' ', OwnPieces.Of(anna, [anna, second], [new("own", maker)])));
    }

    [Fact]
    public void Namesake_WhoGaveThePlaceBack_StillCounts_AndIsToldOf()
    {
        var (anna, gone) = (Place("a", "Anna"), Place("b", "Anna") with { State = Enrolment.Types.State.Withdrawn });

        Assert.Empty(OwnPieces.Of(anna, [anna, gone], [new("own", "Anna")]));
        Assert.Equal("NAME_SHARED", Assert.Single(OwnPieces.Cautions(anna, [anna, gone])).Reason);
        Assert.Empty(OwnPieces.Cautions(anna, [anna]));
    }

    // "Anna" is on labels of the days when both were called so; who was called so alone keeps their pieces under another name.
    [Theory]
    [InlineData("Anna K.", "Anna", "Anna", "", "new")]
    [InlineData("Anna", "", "Anna K.", "anna", "")]
    [InlineData("Anna K.", "Anna", "Mia", "", "old new")]
    public void Piece_OfAFormerName_IsShownToTheOnlyOneWhoEverBoreIt(string name, string former, string other, string otherFormer, string shown)
    {
        var (anna, second) = (Place("a", name) with { StudentFormerNames = former }, Place("b", other) with { StudentFormerNames = otherFormer });

        Assert.Equal(shown, string.Join(' ', OwnPieces.Of(anna, [anna, second], [new("old", "Anna"), new("new", "Anna K.")])));
        Assert.Equal(other == "Mia" ? 0 : 1, OwnPieces.Cautions(anna, [anna, second]).Count());
    }

    [Fact]
    public void Piece_OfANameSharedWithOneForgotten_IsShownToNobody()
    {
        var anna = Place("a", "Anna") with { NameShared = true };

        Assert.Empty(OwnPieces.Of(anna, [anna], [new("own", "Anna")]));
        Assert.Single(OwnPieces.Cautions(anna, [anna]));
    }

    /// <summary>Any roster, any makers: no piece is shown to two people, and none to somebody whose name it does not bear.</summary>
    [Fact]
    public void Piece_OfAnyRoster_IsShownToOneAtMost() => Gen.Select(Name.Array[0, 6], Name.Array[0, 8]).Sample((students, makers) =>
    {
        EnrolmentRecord[] places = [.. students.Select((name, index) => Place($"s{index}", name))];
        KeyValuePair<string, string>[] pieces = [.. makers.Select((maker, index) => KeyValuePair.Create($"piece-{index}", maker))];
        var shown = places.SelectMany(place => OwnPieces.Of(place, places, pieces).Select(piece => (piece, place.StudentDisplayName))).ToArray();
        Assert.Equal(shown.Length, shown.Select(one => one.piece).Distinct().Count());
        Assert.All(shown, one => Assert.Equal(one.StudentDisplayName.Trim(), pieces.Single(piece => piece.Key == one.piece).Value.Trim(), ignoreCase: true));
    });

    private static EnrolmentRecord Place(string student, string name) => new()
    {
        Name = $"studios/alder/classes/trays/enrolments/{student}", Class = "studios/alder/classes/trays", Student = $"studios/alder/students/{student}",
        StudentDisplayName = name, State = Enrolment.Types.State.Enrolled, CreatedMs = 0,
    };
}
