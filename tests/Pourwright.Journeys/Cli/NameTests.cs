using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

public class NameTests
{
    private static readonly ResourceNames InAlder = new("studios/alder", null);

    [Fact]
    public void BareName_IsCompletedByContext()
    {
        Assert.Equal("studios/alder/lots/lot-a1", InAlder.Lot("lot-a1"));
        Assert.Equal("studios/alder/containers/can-a1", InAlder.Container("can-a1"));
        Assert.Equal("studios/alder/resinSystems/deep", InAlder.ResinSystem("deep"));
        Assert.Equal("studios/alder/sites/north/benches/bench-1", InAlder.Bench("north/bench-1"));
        Assert.Equal("studios/alder/sites/north/sensors/logger-1", InAlder.Sensor("north/logger-1"));
        Assert.Equal("studios/alder/sites/north/rooms/hall", InAlder.Room("north/hall"));
        Assert.Equal("studios/alder/sites/north/stations/planer", InAlder.Station("north/planer"));
        Assert.Equal("studios/alder/sites/north/outages/outage-1", InAlder.Outage("north/outage-1"));
        Assert.Equal("studios/alder/offerings/tray", InAlder.Offering("tray"));
        Assert.Equal("studios/alder/instructors/ana", InAlder.Instructor("ana"));
        Assert.Equal("studios/alder/instructors/ana/absences/absence-1", InAlder.Absence("ana/absence-1"));
    }

    [Fact]
    public void BareName_FromALabelReaderInCapitals_IsUnderstood() =>
        Assert.Equal("studios/alder/pieces/piece-7", InAlder.Piece(" PIECE-7 "));

    [Fact]
    public void FullName_StaysAsItIs()
    {
        Assert.Equal("studios/birch/lots/lot-1", InAlder.Lot("studios/birch/lots/lot-1"));
        Assert.Equal("studios/birch/sites/east/benches/b", InAlder.Bench("studios/birch/sites/east/benches/b"));
    }

    [Fact]
    public void Bench_WithoutItsSite_TakesTheDefaultOrAsks()
    {
        Assert.Equal("studios/alder/sites/north/benches/bench-1", new ResourceNames("studios/alder", "north").Bench("bench-1"));
        Assert.Contains("SITE/bench-1", Assert.Throws<UsageException>(() => InAlder.Bench("bench-1")).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("studios/alder/lots/lot-a1", "lot-a1")]
    [InlineData("studios/alder/sites/north/benches/bench-1", "north/bench-1")]
    [InlineData("studios/alder/sites/north/stations/planer", "north/planer")]
    [InlineData("studios/alder/instructors/ana/absences/absence-1", "ana/absence-1")]
    [InlineData("studios/alder/pieces/piece-7/pours/pour-1", "pour-1")]
    [InlineData("", "")]
    public void FullName_ForPeople_IsWhatTheyMayTypeAgain(string name, string brief) => Assert.Equal(brief, ResourceNames.Brief(name));

    [Theory]
    [InlineData("hand-over", Step.Types.Kind.HandOver)]
    [InlineData("Hand_Over", Step.Types.Kind.HandOver)]
    [InlineData("handover", Step.Types.Kind.HandOver)]
    [InlineData("DEMOLD", Step.Types.Kind.Demold)]
    public void Word_InAnySpelling_IsItsValue(string text, Step.Types.Kind kind) => Assert.Equal(kind, Words.Parse<Step.Types.Kind>(text));

    [Theory]
    [InlineData("glue")]
    [InlineData("unspecified")]
    [InlineData("2")]
    public void Word_ThatIsNone_ListsTheChoices(string text) => Assert.Contains(
        "move, demold, saw, plane, sand, finish, hand-over, scrap",
        Assert.Throws<FormatException>(() => Words.Parse<Step.Types.Kind>(text)).Message, StringComparison.Ordinal);

    [Fact]
    public void Draw_IsAContainerAndAMass()
    {
        Assert.Equal(("can-a1", new Mass(1_390_000)), Pairs.NameAndMass("can-a1=1.39kg", ""));
        Assert.Throws<FormatException>(() => Pairs.NameAndMass("1.39kg", "can-a1=1.39kg"));
        Assert.Throws<FormatException>(() => Pairs.NameAndMass("=1.39kg", "can-a1=1.39kg"));
    }

    [Theory]
    [InlineData("40mm@23C", 40, 23, 0)]
    [InlineData("20mm@70F+12h", 20, 21.111111, 12)]
    public void Layer_IsADepthAtATemperatureAndALater(string text, double mm, double celsius, double hours)
    {
        var layer = ForecastNoun.ReadLayer(text);

        Assert.Equal(mm, layer.DepthMm);
        Assert.Equal(celsius, layer.TemperatureCelsius, 5);
        Assert.Equal(TimeSpan.FromHours(hours), layer.PourOffset.ToTimeSpan());
    }

    [Theory]
    [InlineData("-3C", -3, 0)]
    [InlineData("16C+20h", 16, 20)]
    public void RoomPoint_IsATemperatureAndALater(string text, double celsius, double hours)
    {
        var point = ForecastNoun.ReadRoom(text);

        Assert.Equal(celsius, point.TemperatureCelsius);
        Assert.Equal(TimeSpan.FromHours(hours), point.Offset.ToTimeSpan());
    }

    [Fact]
    public void Contact_IsARoleANameAndItsRoutes()
    {
        var contact = SiteNoun.ReadContact("owner=Ana Reis <ana@example.org> <https://hook.example.org/a>");

        Assert.Equal(Contact.Types.Role.Owner, contact.Role);
        Assert.Equal("Ana Reis", contact.DisplayName);
        Assert.Equal("ana@example.org", contact.Email);
        Assert.Equal("https://hook.example.org/a", contact.WebhookUri);
        Assert.Equal("", SiteNoun.ReadContact("assistant=Rui").Email);
        Assert.Throws<FormatException>(() => SiteNoun.ReadContact("Ana <ana@example.org>"));
    }

    [Fact]
    public void QuietHours_AreTwoClockTimes()
    {
        var (start, end) = SiteNoun.ReadQuietHours("21:00-7:30");

        Assert.Equal((21, 0, 7, 30), (start.Hours, start.Minutes, end.Hours, end.Minutes));
        Assert.Throws<FormatException>(() => SiteNoun.ReadQuietHours("21-7"));
    }
}
