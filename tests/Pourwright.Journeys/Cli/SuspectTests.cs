using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Journeys.Cli;

/// <summary>Suspects on the command line.</summary>
public sealed class SuspectTests
{
    private static readonly SiteClock Clock = new([new() { Name = SampleStudio.North, TimeZone = "Europe/Lisbon" }], StudioHarness.Start);

    [Fact]
    public async Task Rank_WithoutPieces_SaysTooFewAndPrintsJsonForPrograms()
    {
        await using var harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(harness);
        var shell = new Shell(harness.Channel.Target, harness.Clock);

        Assert.Contains("Soft: 0 of 0 pieces inspected. Too few to say anything", await shell.DoAsync("suspect rank --kind soft --site north --from 2026-02-01 --to 2026-02-06"), StringComparison.Ordinal);
        Assert.Equal([Kind.Soft, Kind.TackySkin], SuspectRanking.Parser.ParseJson(await shell.DoAsync("suspect rank --kind soft --kind tacky-skin --json")).Kinds);
        Assert.Contains("Nobody has inspected a piece yet", await shell.DoAsync("suspect watch"), StringComparison.Ordinal);
        Assert.Equal(ExitCodes.Usage, (await shell.RunAsync("suspect rank")).Code);
        Assert.Equal(ExitCodes.Refused, (await shell.RunAsync("suspect piece nowhere --kind soft")).Code);
    }

    [Fact]
    public void Ranking_ShowsTheTextOfWhatWasCalledOutAndCountsOfTheRest()
    {
        var text = ViewTests.Plain(SuspectNoun.Ranking(new()
        {
            CouldTell = true,
            Summary = "Soft: 10 of 48 pieces inspected.",
            Suspects = { Shared(SuspectFactor.LotB, "bad-b", 1, 9, "Some: 9 of 12 pieces."), Shared(SuspectFactor.Scale, "north: scale 1", 0, 3, "never shown"), Shared(SuspectFactor.Site, "south", 0, 0, "never shown") },
        }, Clock));

        Assert.Contains("Some: 9 of 12 pieces.", text, StringComparison.Ordinal);
        Assert.Matches(@"scale north: scale 1\s+3 of 12\s+1 of 36\s+too little to say", text);
        Assert.DoesNotContain("never shown", text, StringComparison.Ordinal);
        Assert.DoesNotContain("south", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Evidence_SaysWhichWayEachSpeaksAndWhatIsUnknown()
    {
        var text = ViewTests.Plain(SuspectNoun.Evidence(new()
        {
            Piece = "studios/alder/pieces/piece-7",
            Kind = Kind.Soft,
            Defective = true,
            Statements = { new PhysicalStatement { Bearing = PhysicalStatement.Types.Bearing.For, Factors = { SuspectFactor.Temperature }, Reason = "For 72 h the room was too cold." } },
            Levels = { new PieceEvidence.Types.Level { Factor = SuspectFactor.Mould }, new PieceEvidence.Types.Level { Factor = SuspectFactor.Depth, Levels = { "25 to 50 mm" }, Measure = "30" } },
        }, Clock));

        Assert.Contains("Piece piece-7, looked at for soft: it has that defect.", text, StringComparison.Ordinal);
        Assert.Matches(@"FOR\s+room temperature\s+For 72 h the room was too cold\.", text);
        Assert.Matches(@"mould\s+unknown", text);
        Assert.Matches(@"layer depth\s+25 to 50 mm \(30\)", text);
    }

    private static Suspect Shared(SuspectFactor factor, string level, int rank, int defective, string text) => new()
    {
        Level = new() { Factor = factor, Level = level },
        Grade = rank > 0 ? Suspect.Types.Grade.Some : Suspect.Types.Grade.TooLittle,
        RankCount = rank,
        Counts = new() { WithCount = 12, WithDefectiveCount = defective, WithoutCount = 36, WithoutDefectiveCount = 1 },
        Text = text,
    };
}
