using PdfSharp.Pdf.IO;
using Pourwright.Studio.Needs;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Sites;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Needs.NeedStock;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Tests.Needs;

public sealed class SheetTests
{
    private static readonly DateTimeOffset Now = DateTimeOffset.FromUnixTimeMilliseconds(Day(6.3));

    // Batches of 3, 3 and 2 pieces: 3 x 1,388,169 mg are 4,165 g of A and 3 x 583,031 are 1,749 g of B. 4,164,507 x 0.42 = 1,749,093; less 2 %
    // 1,714,112, rounded up to what the scale shows 1,715 g; more 2 % 1,784,074, rounded down 1,784 g.
    [Fact]
    public void MixSheet_OfTheWorkedClass_SaysWhatToWeighFromWhichCan()
    {
        var text = ReportText.Print(MixSheet.Write(Mix(), Now));
        Assert.Contains("BATCH 1 OF 3", text, StringComparison.Ordinal);
        Assert.Contains("4,165 g", text, StringComparison.Ordinal);
        Assert.Contains("1,749 g  (1,715 g to 1,784 g)", text, StringComparison.Ordinal);
        Assert.Contains("can-a1, lot RX-4471", text, StringComparison.Ordinal);
        Assert.Contains("100:42 by mass (±2\u00A0%): 11.11 kg of A and 4.66 kg of B", text.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains("see a doctor", text, StringComparison.Ordinal);
        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= ReportText.Columns, line));
    }

    // can-a1 holds 9 kg: batches 1 and 2 take 8,329,014 of it, batch 3 the rest, 670,986, and 2,105,352 of can-a2.
    [Fact]
    public void Takes_RunFromOneCanIntoTheNext_AndAddUp()
    {
        var facts = Mix(new PlannedDraw { Container = "a1", Part = Part.A, MassMg = 9_000_000 }, new PlannedDraw { Container = "a2", Part = Part.A, MassMg = 2_105_352 });
        var takes = BatchTakes.Of(facts.Resin.Batches, facts.Lots);
        Assert.Equal([4_164_507, 4_164_507, 670_986, 2_105_352], takes.SelectMany(batch => batch.Where(take => take.Draw.Part == Part.A)).Select(take => take.MassMg));
    }

    [Fact]
    public void MixSheet_AsPdf_IsA4AndSaysTheSame()
    {
        var pdf = ReportPdf.Print(MixSheet.Write(Mix(), Now));
        using var document = PdfReader.Open(new MemoryStream(pdf), PdfDocumentOpenMode.Import);
        Assert.Equal("Alder · mix sheet", document.Info.Subject);
        Assert.InRange(document.PageCount, 1, 2);
        if (PrintedPage.Text(pdf) is { } text)
            Assert.All((string[])["4,165 g", "1,715 g to 1,784 g", "can-a1", "RX-4471", "Batch 3 of 3"], words => Assert.Contains(words, text, StringComparison.Ordinal));
    }

    // GO from 09:00, CHECK FIRST after its safe time, the contradicted and the one of tomorrow wait.
    [Fact]
    public void RunSheet_OrdersWhatIsReadyAndStopsTheRest()
    {
        var facts = Run();
        Assert.Equal([RunVerdict.Wait, RunVerdict.Wait], facts.Plan.Rows.TakeLast(2).Select(row => row.Verdict));
        Assert.All(facts.Plan.Rows.TakeLast(2), row => Assert.Null(row.FirstMs));
        var late = facts.Plan.Rows.Single(row => row.Piece.Label == "7");
        Assert.Equal(RunVerdict.CheckFirst, late.Verdict);
        Assert.True(late.FirstMs >= late.Piece.HandleSafeMs);
        Assert.True(facts.Plan.OurOrderMs <= facts.Plan.PromisedMs);

        var text = ReportText.Print(RunSheet.Write(facts, Now));
        Assert.Contains("We promise ", text, StringComparison.Ordinal);
        Assert.Contains("NOT READY stops planing, sawing and sanding alike", text, StringComparison.Ordinal);
        Assert.Contains("HEARING PROTECTION", text, StringComparison.Ordinal);
        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= ReportText.Columns, line));
    }

    // Safe for the planer at 09:00, for the disc at 13:00: with 8 + 10 + 5 minutes before it, it begins at 12:37 at the earliest.
    [Fact]
    public void RunDay_APieceThatMayBePlanedButNotSanded_ComesToTheDiscWhenItMay()
    {
        var piece = Piece("1", RungState.Ready, 9, RungState.Curing, 13);
        var row = Assert.Single(RunDay.Plan(DayOf([piece]), CancellationToken.None).Rows);
        Assert.Equal(At(13), row.SandMs);
    }

    [Fact]
    public void RunDay_APieceWhoseSandingIsTomorrow_IsPlanedAndNotSanded()
    {
        var row = Assert.Single(RunDay.Plan(DayOf([Piece("1", RungState.Ready, 9, RungState.Curing, 30)]), CancellationToken.None).Rows);
        Assert.NotNull(row.FirstMs);
        Assert.Null(row.SandMs);
    }

    [Theory]
    [InlineData(RungState.Ready, 30, RunVerdict.Go)]
    [InlineData(RungState.CheckDue, 8, RunVerdict.CheckFirst)]
    [InlineData(RungState.Curing, 14, RunVerdict.CheckFirst)]
    [InlineData(RungState.Curing, 17, RunVerdict.Wait)]
    [InlineData(RungState.Curing, null, RunVerdict.Wait)]
    [InlineData(RungState.Contradicted, 8, RunVerdict.Wait)]
    public void Verdict_IsForecastAndTouchTogether(RungState state, int? safeHour, RunVerdict verdict) =>
        Assert.Equal(verdict, RunDay.Verdict(Piece("1", state, safeHour, state, safeHour), DayOf([])));

    // The one planer is down: it is said, pieces are demolded, sawn and sanded all the same.
    [Fact]
    public void RunDay_WithThePlanerDown_LeavesThePlanerOut()
    {
        var planer = new StationRecord { Name = $"{North}/stations/planer", Site = North, DisplayName = "Planer", Kind = Station.Types.Kind.Planer, Places = 1, MinutesADay = 360, Etag = "1" };
        var outage = new OutageRecord { Name = "o", Site = North, Station = planer.Name, Bench = null, StartMs = At(0), EndMs = At(24), Reason = "knives away for grinding" };
        var has = RunStations.Of([planer], [outage], new() { Planer = 10, Saw = 5 });
        Assert.Equal((0, 5), (has.Minutes.Planer, has.Minutes.Saw));
        Assert.Equal(["Planer is down: knives away for grinding."], has.Down);
        var day = DayOf([Piece("1", RungState.Ready, -20, RungState.Ready, -2)]) with { Has = has };
        // Demolded in 8 minutes, on the saw at 09:08.
        Assert.Equal(At(9) + 8 * 60_000, Assert.Single(RunDay.Plan(day, CancellationToken.None).Rows).FirstMs);
        Assert.Equal(10, RunStations.Of([planer], [], new() { Planer = 10, Saw = 5 }).Minutes.Planer);
    }

    [Fact]
    public void RunDay_OfNothing_IsEmpty() => Assert.Empty(RunDay.Plan(DayOf([]), CancellationToken.None).Rows);

    [Fact]
    public void RunSheet_AsPdf_IsOneSheet()
    {
        using var document = PdfReader.Open(new MemoryStream(ReportPdf.Print(RunSheet.Write(Run(), Now))), PdfDocumentOpenMode.Import);
        Assert.Equal("Alder · run sheet", document.Info.Subject);
        Assert.InRange(document.PageCount, 1, 2);
    }

    // Hours of 8 March 2026, UTC.
    private static long At(double hour) => Day(7 + hour / 24);

    private static RunDayFacts DayOf(IReadOnlyList<RunPiece> pieces) => new()
    {
        StartMs = At(9), EndMs = At(16), Pieces = pieces, Has = RunStations.Of([], [], new() { Planer = 10, Saw = 5 }),
    };

    private static RunPiece Piece(string label, RungState handle, double? handleSafe, RungState sand, double? sandSafe, string maker = "") =>
        new(label, maker, Demolded: false, Rung(Gate.Handle, handle, handleSafe), Rung(Gate.Sand, sand, sandSafe));

    private static PieceReadiness.Types.Rung Rung(Gate gate, RungState state, double? safeHour) => new()
    {
        Gate = gate,
        State = state,
        Forecast = new() { SafeTime = safeHour is { } hour ? Google.Protobuf.WellKnownTypes.Timestamp.FromDateTimeOffset(DateTimeOffset.FromUnixTimeMilliseconds(At(hour))) : null },
    };

    internal static RunSheetFacts Run()
    {
        var day = DayOf(
        [
            Piece("1", RungState.Ready, -20, RungState.Ready, -2, "Ana Pires"), Piece("2", RungState.Ready, -18, RungState.Ready, -1, "Bruno Sá"),
            Piece("3", RungState.CheckDue, 6.2, RungState.Curing, 11.5, "Clara"), Piece("4", RungState.Contradicted, -3, RungState.Curing, 20, "Diogo"),
            Piece("5", RungState.Ready, -20, RungState.CheckDue, 3, "Eva Monteiro de Vasconcelos"), Piece("6", RungState.Curing, 27, RungState.Curing, 40, "Filipe"),
            Piece("7", RungState.Curing, 10.25, RungState.Curing, 14, "Gil"), Piece("8", RungState.Ready, -19, RungState.Ready, 2, "Hugo"),
        ]);
        return new() { Studio = "Alder", Class = "River table, Saturday group", Site = "North", Zone = TimeZoneInfo.Utc, Day = day, Plan = RunDay.Plan(day, CancellationToken.None) };
    }

    internal static MixSheetFacts Mix(params IReadOnlyList<PlannedDraw> draws)
    {
        var terms = new ResinTerms(NeedResinTests.Deep, 1100, 6_000_000);
        var resin = NeedResin.Decide(new()
        {
            Pieces = 8, Mould = NeedResinTests.Mould, Pour = terms, SealCoat = terms, Layers = [new(40, 0)], LossShare = 0.12,
        });
        var lots = new ClassLots { ResinSystem = terms.System.Name };
        lots.Draws.Add(draws.Count > 0 ? draws :
        [
            new() { Container = $"{Alder}/containers/can-a1", Part = Part.A, Lots = { "rx" }, MassMg = 9_000_000 },
            new() { Container = $"{Alder}/containers/can-a2", Part = Part.A, Lots = { "rx" }, MassMg = 2_105_352 },
            new() { Container = $"{Alder}/containers/can-b1", Part = Part.B, Lots = { "hd" }, MassMg = 4_664_248 },
        ]);
        return new()
        {
            Studio = "Alder", Class = "River table, Saturday group", Site = "North", Zone = TimeZoneInfo.Utc, PourMs = Day(6.6), Pieces = 8, Resin = resin,
            WorkingHours = [0.71, 0.71, 0.83], Terms = new(22, 21, null, null), Lots = [lots],
            Codes = new Dictionary<string, string> { ["rx"] = "RX-4471", ["hd"] = "HD-0917" }, Cautions = [],
        };
    }
}
