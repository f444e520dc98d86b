using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

public sealed class TracePieceTests
{
    /// <summary>Every fact that a piece can lack, and the sentence that owns up to it; with the fact there, the sentence is gone.</summary>
    [Theory]
    [InlineData("No scale was recorded for mix m-0307a.")]
    [InlineData("No temperature was recorded for mix m-0307a.")]
    [InlineData("No temperature of mould and wood was recorded at pour 1: how close it was to the dew point is not known.")]
    [InlineData("No expiry date is recorded for lot b-0917.")]
    [InlineData("No readings between 8 Mar 2026 00:50 +01:00 and 8 Mar 2026 06:10 +01:00.")]
    [InlineData("No touch test after the safe time to demold, 9 Mar 2026 09:00 +01:00.")]
    [InlineData("No wood moisture was recorded.")]
    public void Unknowns_OfTheInventedPiece_NameWhatIsMissing(string sentence) => Assert.Contains(sentence, Unknowns(InventedPiece.Facts()));

    [Fact]
    public void Unknowns_OfTheInventedPiece_NameNothingElse() => Assert.Equal(7, Unknowns(InventedPiece.Facts()).Length);

    [Fact]
    public void Unknowns_WithTheFactsGiven_FallSilent()
    {
        var facts = InventedPiece.Facts();
        facts.Piece.WoodMoisturePercent = 10;
        facts.Pours[0].Mix.Scale = "bench scale 1";
        facts.Pours[0].Mix.TemperatureCelsius = 21;
        facts.Pours[0].Pour.SurfaceTemperatureCelsius = 19;
        var touch = new Check { Touch = Check.Types.Touch.Firm, CheckTime = Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(47)), SurfaceTemperatureCelsius = 20 };

        // Left are the gap in the readings and the hardener's expiry.
        Assert.Equal(2, Unknowns(facts with { Checks = [touch] }).Length);
    }

    [Fact]
    public void Unknowns_NothingAtAllRecorded_ClaimNothing()
    {
        var facts = new PieceFacts { Piece = new() { Name = InventedPiece.Name, Label = "7" }, Zone = InventedPiece.Zone };

        Assert.Equal(
            [
                "No pour is recorded: what the piece is made of is not known.",
                "No wood moisture was recorded.", "No wood species was recorded.", "No maker is recorded.",
                "No defect is reported; whether somebody looked for one is not recorded.",
            ],
            Unknowns(facts));
    }

    [Fact]
    public void Unknowns_TwentyGaps_NameTheFiveLongestAndSumUpTheRest()
    {
        // A reading every 10 minutes, and after each n-th hour a gap of n/2 h for n = 1 to 20: the fifteen shorter ones are
        // (1 + ... + 15) / 2 = 60 h; gaps of 30 minutes are no gaps yet, since three intervals are 30 minutes: n = 1 falls out, 59.5 h.
        var ms = InventedPiece.FirstPour.ToUnixMs();
        List<ReadingRecord> readings = [Reading(ms)];
        for (var n = 1; n <= 20; n++)
        {
            for (var step = 1; step <= 6; step++) readings.Add(Reading(ms + step * 600_000));
            ms += 6 * 600_000 + n * 1_800_000;
            readings.Add(Reading(ms));
        }
        var facts = InventedPiece.Facts() with
        {
            CureReadings = new(readings, 600_000), Stays = [new(InventedPiece.Bench, InventedPiece.FirstPour.ToUnixMs(), ms)],
        };

        var gaps = Unknowns(facts).Where(sentence => sentence.StartsWith("No readings", StringComparison.Ordinal)).ToList();
        Assert.Equal(6, gaps.Count);
        Assert.Equal("No readings in 14 shorter gaps, 2 d 11 h in all.", gaps[^1]);
    }

    [Fact]
    public void CureStays_MovedAndPouredElsewhere_FollowThePiece()
    {
        Pour[] pours = [Pour("a", 0), Pour("c", 10)];
        Step[] steps = [Step(Moved, 4, "b"), Step(V1.Step.Types.Kind.Demold, 30), Step(Moved, 31, "d")];

        Assert.Equal(
            [new CureStay("a", Ms(0), Ms(4)), new CureStay("b", Ms(4), Ms(10)), new CureStay("c", Ms(10), Ms(30))],
            CureStay.Of(pours, steps, InventedPiece.Now));
    }

    [Fact]
    public void CureStays_NotDemolded_LastUntilNow() =>
        Assert.Equal(InventedPiece.Now.ToUnixMs(), CureStay.Of([Pour("a", 0)], [], InventedPiece.Now)[^1].ToMs);

    private const Step.Types.Kind Moved = V1.Step.Types.Kind.Move;

    private static string[] Unknowns(PieceFacts facts) => [.. TracePiece.Decide(facts, InventedPiece.Now).Unknowns];

    private static ReadingRecord Reading(long ms) => new() { Sensor = "logger", ReadingMs = ms, TemperatureCelsius = 20, RelativeHumidityPercent = 50 };

    private static Pour Pour(string bench, double hours) => new() { Bench = bench, PourTime = Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(hours)) };

    private static Step Step(Step.Types.Kind kind, double hours, string bench = "") =>
        new() { Kind = kind, Bench = bench, StepTime = Timestamp.FromDateTimeOffset(InventedPiece.TimeAt(hours)) };

    private static long Ms(double hours) => InventedPiece.TimeAt(hours).ToUnixMs();
}
