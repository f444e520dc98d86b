using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Tests.Recalls;
using Pourwright.Studio.Tests.Suspects;
using Pourwright.Testing;
using Pourwright.V1;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;
using Grade = Pourwright.V1.Suspect.Types.Grade;
using Kind = Pourwright.V1.Defect.Types.Kind;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Tests.Reports;

public sealed class ReportServiceTests : IAsyncLifetime
{
    private SeededStudio _studio = null!;
    private V1.ReportService.ReportServiceClient _reports = null!;

    // 48 pieces over four weeks, one every 14 h. Each fourth is of the bad B lot, and nine of these twelve are soft; of the others
    // one is. The last of the bad lot is still in its mould.
    public async Task InitializeAsync()
    {
        _studio = await SeededStudio.StartAsync();
        _studio.Harness.Clock.Advance(TimeSpan.FromDays(34));
        _reports = new(_studio.Harness.Channel);
        await _studio.TeachAsync(("class-0", SampleTeaching.Ana), ("class-1", SampleTeaching.Rui), ("class-2", SampleTeaching.Rui));
        await _studio.ReadAsync("north", 800, _ => 22);
        await _studio.SaveAsync(Enumerable.Range(0, 48).Select(i => new Seeded($"piece-{i:00}", 14 * i, i % 4 == 0 ? "bad-b" : $"good-b{i % 3}", $"some-a{i / 16}")
        {
            Class = $"class-{i % 3}",
            Defect = i % 4 == 0 && i < 36 || i == 1 ? Kind.Soft : null,
            DemoldAfterHours = i == 44 ? null : 72,
        }));
    }

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    [Fact]
    public async Task Defect_OfThePlantedLot_NamesItFirstWithCountsOnBothSides()
    {
        var report = JsonParser.Default.Parse<DefectReport>(await DefectAsync("piece-00", Format.Json));

        // 12 of the lot, of which one is in its mould; 9 of the 11 are soft. Below a hundred pieces nothing is strong.
        Assert.StartsWith("Some: 9 of 11 pieces with B lot bad-b-lot have this defect, against 1 of 36 others.", report.Verdict, StringComparison.Ordinal);
        Assert.Equal((Grade.Some, true, "bad-b-lot"), (report.Grade, report.Lines[0].Shared, report.Lines[0].Suspect.Level.Level));
        Assert.Equal(["studios/alder/lots/bad-b-lot"], report.SharedNames);
        Assert.Contains(report.Lines, line => line.Suspect.Level.Factor == SuspectFactor.Instructor);
        // Of the eleven sisters ten are out of their moulds, eight of these soft; one cures, and nobody has looked.
        Assert.Equal((10, 8, 0), Counts(report, Where.InHouse));
        Assert.Equal((1, 0, 1), Counts(report, Where.Curing));
        Assert.StartsWith("Hold the 11 sisters in the house that are not held", report.Holds[0], StringComparison.Ordinal);
        Assert.StartsWith("Touch the 1 sister that nobody has looked at", report.Tests[0], StringComparison.Ordinal);
        Assert.Contains("none of them defective, and it would stand out no longer", report.MindChangers[0], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Defect_OutsideOfWhatStandsOut_IsTooLittleToSay()
    {
        var report = JsonParser.Default.Parse<DefectReport>(await DefectAsync("piece-01", Format.Json));

        Assert.Equal(Grade.TooLittle, report.Grade);
        Assert.StartsWith("Too little to say of this piece: it has nothing of what stands out among the others, which is B lot bad-b-lot", report.Verdict, StringComparison.Ordinal);
        Assert.False(report.Lines[0].Shared);
        // Its mix was poured into no other piece.
        Assert.Equal(["studios/alder/mixes/piece-01"], report.SharedNames);
        Assert.Empty(report.Sisters);
    }

    [Fact]
    public async Task Defect_OnPaper_IsOnePageThatSaysEachPart()
    {
        var pdf = await PdfAsync(SeededName("piece-00"));

        Assert.Equal(1, PrintedPage.Count(pdf));
        AssertSays(pdf, "Piece piece-00 · soft all through", "B lot bad-b-lot", "9 of 11", "1 of 36", "What could be to blame", "Containers", "Room as recorded", "What to do now", "First of all", "safety data sheets");
    }

    // A note and twenty addresses as long as they may be would fill three pages.
    [Fact]
    public async Task Defect_WithEverythingAtItsLongest_StillIsOnePage()
    {
        var defect = await new V1.DefectService.DefectServiceClient(_studio.Harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name,
            Defect = new()
            {
                Piece = SeededStudio.PieceNamed("piece-04"), Kind = Kind.Soft, Finder = new('f', 80), Note = string.Concat(Enumerable.Repeat("soft at the edge ", 117)),
                PhotoUris = { Enumerable.Range(0, 20).Select(i => $"https://photos.example/{i:00}/{new string('p', 1900)}") },
            },
        });

        Assert.Equal(1, PrintedPage.Count(await PdfAsync(defect.Name)));
    }

    [Fact]
    public async Task Season_CountsEachKindBySiteAndCause()
    {
        var page = await _reports.PrintSeasonAsync(Season(Format.Json));
        var season = JsonParser.Default.Parse<SeasonSummary>(page.Data.ToStringUtf8());

        var kind = Assert.Single(season.Kinds);
        Assert.Equal((48, "too little cure", 47, 10), (season.PieceCount, kind.Title, kind.Ranking.PieceCount, kind.Ranking.DefectiveCount));
        Assert.Equal("bad-b-lot", Assert.Single(kind.Ranking.Suspects).Level.Level);
        Assert.Equal(new SuspectCounts { WithCount = 11, WithDefectiveCount = 9, WithoutCount = 36, WithoutDefectiveCount = 1 }, Assert.Single(kind.Sites).Counts);
        // Soft, soft, fine, fine, soft: the sum goes 8, 16, 15, 14, 22 and calls at 20.
        Assert.NotEmpty(season.Alarms);
        Assert.Equal("studios/alder/pieces/piece-00", season.Alarms[0].Alarm_.FirstPiece);
    }

    [Fact]
    public async Task Season_OnPaper_IsOnePageWithItsPeriodAndBothCounts()
    {
        var pdf = (await _reports.PrintSeasonAsync(Season(Format.Pdf))).Data.ToByteArray();

        Assert.Equal(1, PrintedPage.Count(pdf));
        AssertSays(pdf, "Defective pieces by kind, cause and site", "9 of 11 with it, 1 of 36 others", "Alarms of the watch", "B lot bad-b-lot");
    }

    [Fact]
    public async Task Season_InWords_DrawsItsChartInLetters()
    {
        var text = (await _reports.PrintSeasonAsync(Season(Format.Text))).Data.ToStringUtf8();

        // Ten defective pieces fill thirty letters: nine with the lot, one other.
        Assert.Contains($"{new string('#', 27)}ooo", text, StringComparison.Ordinal);
        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= 100, line));
    }

    [Fact]
    public async Task Season_BeforeAnythingWasPoured_SaysThatNothingIsOnRecord()
    {
        var request = Season(Format.Text);
        (request.StartTime, request.EndTime) = (request.StartTime - Duration.FromTimeSpan(TimeSpan.FromDays(20)), request.StartTime);

        var text = (await _reports.PrintSeasonAsync(request)).Data.ToStringUtf8();

        Assert.Contains("No defect is on record, which does not say that there was none.", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Season_ThatEndsBeforeItStarts_IsRefused()
    {
        var request = Season(Format.Text);
        request.EndTime = request.StartTime;

        Assert.Equal("FIELD_INVALID", await Refused.ByAsync(async () => await _reports.PrintSeasonAsync(request)));
    }

    [Fact]
    public async Task Defect_ThatIsNot_IsRefused() => Assert.Equal(
        "DEFECT_NOT_FOUND", await Refused.ByAsync(async () => await _reports.PrintDefectAsync(new() { Name = SeededName("piece-99") })));

    private static PrintSeasonRequest Season(Format format) => new()
    {
        Parent = SampleStudio.Name, Format = format,
        StartTime = Timestamp.FromDateTimeOffset(SeededStudio.Start.AddHours(-1)), EndTime = Timestamp.FromDateTimeOffset(SeededStudio.Start.AddDays(30)),
    };

    private static (int, int, int) Counts(DefectReport report, Where where) =>
        report.Sisters.Where(place => place.Where == where).Select(place => (place.PieceCount, place.DefectiveCount, place.UninspectedCount)).Single();

    private static string SeededName(string piece) => $"{SampleStudio.Name}/defects/{piece}";

    private async Task<string> DefectAsync(string piece, Format format) =>
        (await _reports.PrintDefectAsync(new() { Name = SeededName(piece), Format = format })).Data.ToStringUtf8();

    private async Task<byte[]> PdfAsync(string defect) => (await _reports.PrintDefectAsync(new() { Name = defect, Format = Format.Pdf })).Data.ToByteArray();

    private static void AssertSays(byte[] pdf, params string[] words)
    {
        if (PrintedPage.Text(pdf) is { } text) Assert.All(words, each => Assert.Contains(each, text, StringComparison.Ordinal));
    }
}
