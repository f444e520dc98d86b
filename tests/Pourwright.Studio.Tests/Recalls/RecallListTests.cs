using Pourwright.Studio.Names;
using Pourwright.Studio.Tests.Lots;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Lots.RecallDrill;

namespace Pourwright.Studio.Tests.Recalls;

/// <summary>What a recall must reach in the drill of Reference/mock_recall.json; asked with validate_only, so that the studio stays as it was.</summary>
public sealed class RecallListTests(RecallDrill drill) : IClassFixture<RecallDrill>
{
    private readonly V1.RecallService.RecallServiceClient _recalls = new(drill.Harness.Channel);

    [Theory]
    [InlineData("A-101")]
    [InlineData("A-102")]
    [InlineData("B-55")]
    [InlineData("B-56")]
    [InlineData("P-7")]
    public async Task Lot_Reaches_ItsPiecesMixesStockAndPeople(string lot)
    {
        var expected = Expected["forward"]![lot]!;
        var recall = await AskAsync(LotName(lot));

        Assert.Equal(Codes(expected["pieces"]!), recall.List.Pieces.Select(piece => Code(piece.Piece)));
        Assert.Equal(Codes(expected["mixes"]!), recall.List.Mixes.Select(Code));
        Assert.Equal(Codes(expected["notify"]!), recall.Notices.Where(notice => notice.Role == RecallNotice.Types.Role.Maker).Select(notice => notice.Person));
        // A-102's own can is empty (0 g) and is no stock.
        Assert.Equal(Held(expected["hold"]!), recall.List.Stock.Select(stock => (Code(stock.Container), stock.RemainingMassMg)));
        Assert.All(recall.List.Pieces, piece => Assert.True(piece.Held));
        Assert.All(recall.List.Stock, stock => Assert.True(stock.Held));
    }

    [Fact]
    public async Task Tank_Reaches_WhatWasDrawnFromIt()
    {
        var recall = await AskAsync(Name(ResourceKind.Container, "A-TANK-1"));

        Assert.Equal(["M-3", "M-4"], recall.List.Mixes.Select(Code));
        Assert.Equal(["PC-4", "PC-5", "PC-6"], recall.List.Pieces.Select(piece => Code(piece.Piece)));
        Assert.Equal([("A-TANK-1", 7_950_000L)], recall.List.Stock.Select(stock => (Code(stock.Container), stock.RemainingMassMg)));
        Assert.Empty(recall.List.Lots);
    }

    [Fact]
    public async Task Can_PouredIntoTheTank_ReachesThroughIt()
    {
        var recall = await AskAsync(Name(ResourceKind.Container, "A-101"));

        Assert.Equal(7, recall.List.Pieces.Count);
        Assert.Equal(["A-101", "A-TANK-1"], recall.List.Stock.Select(stock => Code(stock.Container)));
    }

    // PC-2 has a pour of M-1 and one of M-5: it is on the list of each, once.
    [Theory]
    [InlineData("M-1", new[] { "PC-1", "PC-2" })]
    [InlineData("M-5", new[] { "PC-2", "PC-7" })]
    public async Task Mix_Reaches_ItsPiecesAlone(string mix, string[] pieces)
    {
        var recall = await AskAsync(Name(ResourceKind.Mix, mix));

        Assert.Equal(pieces, recall.List.Pieces.Select(piece => Code(piece.Piece)));
        Assert.Empty(recall.List.Stock);
    }

    [Fact]
    public async Task Day_Reaches_WhatWasMixedOrPouredThen()
    {
        var recall = await _recalls.StartRecallAsync(Request(SampleStudio.North, new() { Year = 2026, Month = 2, Day = 6 }));

        Assert.Equal(7, recall.List.Pieces.Count);
        Assert.Equal(5, recall.List.Mixes.Count);
        Assert.Empty(recall.List.Stock);
    }

    [Fact]
    public async Task Day_OnWhichNothingWasDone_IsRefused()
    {
        var refusal = await Refused.ByAsync(async () => await _recalls.StartRecallAsync(Request(SampleStudio.North, new() { Year = 2026, Month = 2, Day = 5 })));

        Assert.Equal("RECALL_EMPTY", refusal);
    }

    [Fact]
    public async Task Site_WithoutADay_IsRefused() => Assert.Equal(
        "FIELD_INVALID", await Refused.ByAsync(async () => await _recalls.StartRecallAsync(Request(SampleStudio.North, null))));

    [Theory]
    [InlineData("PC-1")]
    [InlineData("PC-2")]
    [InlineData("PC-3")]
    [InlineData("PC-4")]
    [InlineData("PC-5")]
    [InlineData("PC-6")]
    [InlineData("PC-7")]
    public async Task Drill_Backward_ReachesMixesContainersAndLots(string piece)
    {
        var expected = Expected["backward"]![piece]!;
        var proof = (await _recalls.StartDrillAsync(new() { Parent = SampleStudio.Name, Piece = Name(ResourceKind.Piece, piece), Starter = "ana" })).DrillProof;

        Assert.Equal(Codes(expected["mixes"]!), proof.Mixes.Select(Code));
        // The file counts the tank among the lots; here it is a container, and so is every lot's own can.
        Assert.Equal(Codes(expected["all"]!).Except(["A-TANK-1"]), proof.Lots.Select(Code));
        Assert.Equal(Codes(expected["all"]!), proof.Containers.Select(Code));
        Assert.True(proof.Met);
    }

    [Fact]
    public async Task Drill_OfALot_MeetsItFromAPieceChosenByTheSeed()
    {
        var (one, same, other) = (await DrillAsync("autumn"), await DrillAsync("autumn"), await DrillAsync("winter of 2027"));

        Assert.True(one.DrillProof.Met);
        Assert.Equal(one.DrillProof.Piece, same.DrillProof.Piece);
        Assert.Contains(other.DrillProof.Piece, one.List.Pieces.Select(piece => piece.Piece));

        Task<Recall> DrillAsync(string seed) => _recalls.StartDrillAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = LotName("A-102") }, Seed = seed, Starter = "ana",
        }).ResponseAsync;
    }

    [Fact]
    public async Task Drill_OfAPieceThatIsNotOfTheLot_SaysNothingOfMeeting()
    {
        var drill = await _recalls.StartDrillAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = LotName("P-7") }, Piece = Name(ResourceKind.Piece, "PC-4"), Starter = "ana",
        });

        Assert.False(drill.DrillProof.HasMet);
    }

    [Fact]
    public async Task Drill_TellsNobodyAndHoldsNothing()
    {
        var before = Rows();

        var drill = await _recalls.StartDrillAsync(new() { Parent = SampleStudio.Name, Scope = new() { Name = LotName("B-55") }, Starter = "ana" });

        Assert.Equal(before, Rows());
        // Five makers who are no students on record, and three contacts, of whom two have an address.
        Assert.Equal((5, 8, 2), (drill.Status.PieceCount, drill.Status.PersonCount, drill.Status.ReachableCount));
        Assert.All(drill.List.Pieces, piece => Assert.False(piece.Held));
        Assert.Null(drill.Status.HoldTime);
    }

    [Fact]
    public async Task Certificate_SaysWhatItShowsAndWhatItDoesNotProve()
    {
        var drill = await _recalls.StartDrillAsync(new() { Parent = SampleStudio.Name, Scope = new() { Name = LotName("A-102") }, Seed = "autumn", Starter = "Ana" });
        async Task<byte[]> PrintAsync(PrintTraceRequest.Types.Format format) =>
            (await _recalls.PrintRecallAsync(new() { Name = drill.Name, Format = format })).Data.ToByteArray();

        var text = System.Text.Encoding.UTF8.GetString(await PrintAsync(PrintTraceRequest.Types.Format.Text));

        foreach (var words in new[] { "3 pieces found in", "7,950 g", "chosen by 'autumn'", "+41.667", "WHAT THIS DOES NOT PROVE", "Nobody was told, nothing was held", "cannot be written to" })
            Assert.Contains(words, text.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Equal("%PDF"u8.ToArray(), (await PrintAsync(PrintTraceRequest.Types.Format.Pdf))[..4]);
        Assert.Contains("\"drillProof\"", System.Text.Encoding.UTF8.GetString(await PrintAsync(PrintTraceRequest.Types.Format.Json)), StringComparison.Ordinal);
    }

    private (long Reminders, long Pieces, long Stock, long Events) Rows() => drill.Harness.Reads.Read(session => (
        session.Scalar<long>("SELECT count(*) FROM reminders"), session.Scalar<long>("SELECT count(*) FROM piece_holds"),
        session.Scalar<long>("SELECT count(*) FROM stock_holds"), session.Scalar<long>("SELECT count(*) FROM container_events")));

    private static IEnumerable<(string, long)> Held(System.Text.Json.Nodes.JsonNode list) =>
        list.AsArray().Select(held => ($"{held!["lot"]}", (long)held["grams"]! * 1000));

    private async Task<Recall> AskAsync(string scope) => await _recalls.StartRecallAsync(Request(scope, null));

    private static StartRecallRequest Request(string scope, Google.Type.Date? day) => new()
    {
        Parent = SampleStudio.Name, Scope = new() { Name = scope, Date = day }, Reason = "soft pieces", Starter = "ana", ValidateOnly = true,
    };
}
