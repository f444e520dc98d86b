using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Corrections.CorrectionDesk;

namespace Pourwright.Studio.Tests.Corrections;

public sealed class CorrectPourTests : IAsyncLifetime
{
    private const string Second = "studios/alder/mixes/second";

    private CorrectionDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task WrongPiece_BeforeTheLotReachesIt_AfterTheRightOne()
    {
        Assert.Equal("walnut", await _desk.ReachedAsync(LotA));

        var right = await _desk.CorrectPourAsync(piece: Cherry);

        Assert.Equal("cherry", await _desk.ReachedAsync(LotA));
        Assert.Empty(await _desk.LotsOfAsync(Walnut));
        Assert.Contains(LotA, await _desk.LotsOfAsync(Cherry));
        Assert.StartsWith($"{Cherry}/pours/", right.Name, StringComparison.Ordinal);
        Assert.Equal((1, 300_000, 20d), (right.LayerCount, right.MassMg, right.DepthMm));
    }

    [Fact]
    public async Task WrongPiece_IsPreparedAgainAndTheRightOneCures()
    {
        await _desk.CorrectPourAsync(piece: Cherry);

        var (walnut, cherry) = (await PieceAsync(Walnut), await PieceAsync(Cherry));
        Assert.Equal((Piece.Types.State.Prepared, ""), (walnut.State, walnut.Bench));
        Assert.Equal((Piece.Types.State.Curing, SampleStudio.NorthBench), (cherry.State, cherry.Bench));
    }

    [Fact]
    public async Task RecordedPour_StaysReadableWithWhatIsRight()
    {
        var right = await _desk.CorrectPourAsync(piece: Cherry, depthMm: 25);
        var recorded = await _desk.Pieces.GetPourAsync(new() { Name = _desk.Pour.Name });

        Assert.Equal((20d, right.Name, false), (recorded.DepthMm, recorded.RightPour, recorded.DidNotOccur));
        Assert.Equal(
            [($"piece of pour {Id(_desk.Pour)}", "walnut", "cherry"), ($"depth of pour {Id(_desk.Pour)}", "20 mm", "25 mm")],
            Assert.Single(recorded.Corrections).Changes.Select(change => (change.What, change.Recorded, change.Right)));
        Assert.Equal(recorded.Corrections, right.Corrections);
        Assert.Empty((await _desk.Pieces.ListPoursAsync(new() { Parent = Walnut })).Pours);
    }

    // Nobody can hide an earlier entry: the trace of both pieces shows it, on paper as well.
    [Theory]
    [InlineData(Walnut)]
    [InlineData(Cherry)]
    public async Task Trace_OfBothPieces_SaysTheCorrectionInWords(string piece)
    {
        await _desk.CorrectPourAsync(piece: Cherry);

        var correction = Assert.Single((await _desk.Traces.TracePieceAsync(new() { Name = piece })).Corrections);
        var text = (await _desk.Traces.PrintTraceAsync(new() { Name = piece })).Data.ToStringUtf8();

        Assert.Equal((_desk.Pour.Name, "Ana", "the mould beside it"), (correction.Subject, correction.Person, correction.Reason));
        Assert.Contains("Corrected", text, StringComparison.OrdinalIgnoreCase);
        foreach (var word in (string[])["walnut", "cherry", "Ana", "the mould beside it"]) Assert.Contains(word, text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Trace_SaysTheCorrectionOfItsMix()
    {
        Assert.Empty((await _desk.Traces.TracePieceAsync(new() { Name = Walnut })).Corrections);

        await _desk.CorrectAsync(Draw(SampleStudio.DeepA, right: OtherA));

        Assert.Equal(First, Assert.Single((await _desk.Traces.TracePieceAsync(new() { Name = Walnut })).Corrections).Subject);
        Assert.Empty((await _desk.Traces.TracePieceAsync(new() { Name = Cherry })).Corrections);
    }

    // 1420 g of mix, 300 g of which were recorded: 350 g leave 1070 g.
    [Fact]
    public async Task MassAndDepth_TheLayerKeepsItsPlaceAndTheMixItsRest()
    {
        var second = await _desk.PourAsync(Walnut, First, 100_000, 5);

        var right = await _desk.CorrectPourAsync(massMg: 350_000, depthMm: 23.5);

        Assert.Equal((1, 350_000, 23.5), (right.LayerCount, right.MassMg, right.DepthMm));
        Assert.Equal([right.Name, second.Name], (await _desk.Pieces.ListPoursAsync(new() { Parent = Walnut })).Pours.Select(pour => pour.Name));
        Assert.Equal(1_420_000 - 350_000 - 100_000, (await _desk.Mixes.GetMixAsync(new() { Name = First })).RemainingMassMg);
    }

    [Fact]
    public async Task FirstLayer_TakenAway_TheNextIsTheFirst()
    {
        var second = await _desk.PourAsync(Walnut, First, 100_000, 5);
        await _desk.UndoPourAsync();
        _desk.Harness.Clock.Advance(TimeSpan.FromMinutes(1));
        var third = await _desk.PourAsync(Walnut, First, 100_000, 5);

        var pours = (await _desk.Pieces.ListPoursAsync(new() { Parent = Walnut, PageSize = 1 })).Pours;
        Assert.Equal((second.Name, 1), (pours.Single().Name, pours.Single().LayerCount));
        Assert.Equal((third.Name, 2), (third.Name, (await _desk.Pieces.ListPoursAsync(new() { Parent = Walnut })).Pours[1].LayerCount));
        Assert.Equal((1, 1), (await LayerAsync(second.Name), await LayerAsync(_desk.Pour.Name)));
        Assert.Equal(Piece.Types.State.Curing, (await PieceAsync(Walnut)).State);

        async Task<int> LayerAsync(string pour) => (await _desk.Pieces.GetPourAsync(new() { Name = pour })).LayerCount;
    }

    [Fact]
    public async Task Undo_ThenWhatIsRightAfterAll_TheLatestStands()
    {
        Assert.True((await _desk.UndoPourAsync()).DidNotOccur);
        Assert.Equal(("", 1_420_000), (await _desk.ReachedAsync(LotA), (await _desk.Mixes.GetMixAsync(new() { Name = First })).RemainingMassMg));
        Assert.Equal("NOTHING_TO_CORRECT", await _desk.RefusedAsync(() => _desk.UndoPourAsync()));

        var right = await _desk.CorrectPourAsync(massMg: 300_000);

        Assert.Equal(("walnut", 1_120_000), (await _desk.ReachedAsync(LotA), (await _desk.Mixes.GetMixAsync(new() { Name = First })).RemainingMassMg));
        Assert.Equal("did not occur", right.Corrections[^1].Changes.Single().Recorded);
    }

    [Fact]
    public async Task Correction_ByTheNameOfTheFirstRecord_CorrectsTheOneThatStands()
    {
        await _desk.CorrectPourAsync(piece: Cherry);
        var back = await _desk.CorrectPourAsync(piece: Walnut, pour: _desk.Pour.Name);

        Assert.Equal("walnut", await _desk.ReachedAsync(LotA));
        Assert.Equal(["cherry", "walnut"], back.Corrections.SelectMany(correction => correction.Changes).Select(change => change.Right));
        Assert.Equal(Piece.Types.State.Prepared, (await PieceAsync(Cherry)).State);
    }

    [Fact]
    public async Task Recall_AfterACorrection_ListsTheRightPieceAndItsMaker()
    {
        async Task<string> ToldAsync() => string.Join(", ", (await _desk.Recalls.StartRecallAsync(new()
        {
            Parent = SampleStudio.Name, Scope = new() { Name = LotA }, Reason = "soft pieces", Starter = "Ana", ValidateOnly = true,
        })).List.Pieces.Select(piece => piece.Label));

        var before = await ToldAsync();
        await _desk.CorrectPourAsync(piece: Cherry);

        Assert.Equal(("walnut", "cherry"), (before, await ToldAsync()));
    }

    [Theory]
    [InlineData("unknown pour", "POUR_NOT_FOUND")]
    [InlineData("unknown piece", "PIECE_NOT_FOUND")]
    [InlineData("unknown mix", "MIX_NOT_FOUND")]
    [InlineData("nothing said", "FIELD_INVALID")]
    [InlineData("too deep to be", "FIELD_INVALID")]
    [InlineData("same as recorded", "NOTHING_TO_CORRECT")]
    [InlineData("more than the mix held", "MIX_SHORT")]
    [InlineData("piece of another site", "SITE_MISMATCH")]
    [InlineData("mixed later", "TIME_OUT_OF_ORDER")]
    [InlineData("out of its mould by then", "PIECE_DEMOLDED")]
    public async Task Correction_ThatCannotBe_IsRefusedAndWritesNothing(string what, string reason)
    {
        await ArrangeAsync(what);

        Assert.Equal(reason, await _desk.RefusedAsync(() => what switch
        {
            "unknown pour" => _desk.CorrectPourAsync(massMg: 1, pour: $"{Walnut}/pours/none"),
            "unknown piece" => _desk.CorrectPourAsync(piece: "studios/alder/pieces/none"),
            "unknown mix" => _desk.CorrectPourAsync(mix: "studios/alder/mixes/none"),
            "nothing said" => _desk.CorrectPourAsync(),
            "too deep to be" => _desk.CorrectPourAsync(depthMm: 201),
            "same as recorded" => _desk.CorrectPourAsync(piece: Walnut, massMg: 300_000, depthMm: 20),
            "more than the mix held" => _desk.CorrectPourAsync(massMg: 1_420_001),
            "piece of another site" => _desk.CorrectPourAsync(piece: "studios/alder/pieces/far"),
            "mixed later" => _desk.CorrectPourAsync(mix: Second),
            _ => _desk.CorrectPourAsync(piece: Cherry, pour: _later),
        }));
    }

    private string _later = "";

    private async Task ArrangeAsync(string what)
    {
        if (what == "piece of another site") await _desk.CreatePieceAsync("far", SampleStudio.South);
        if (what is not ("mixed later" or "out of its mould by then")) return;
        await _desk.PourAsync(Cherry, First, 100_000);
        await _desk.Pieces.RecordStepAsync(new() { Parent = Cherry, Step = new() { Kind = Step.Types.Kind.Demold, Worker = "Ivo" } });
        _desk.Harness.Clock.Advance(TimeSpan.FromHours(1));
        await _desk.MixAsync("second");
        _later = (await _desk.PourAsync(Walnut, First, 100_000, 5)).Name;
    }

    // A layer over the limit of the data sheet refuses a pour without a reason; here somebody says what was.
    [Fact]
    public async Task Depth_OverTheLimit_IsACaution()
    {
        Assert.Empty(_desk.Pour.Cautions);

        Assert.Single((await _desk.CorrectPourAsync(depthMm: 60)).Cautions, caution => caution.Reason == "DEPTH_OVER_LIMIT");
    }

    // It was poured before it was held.
    [Fact]
    public async Task HeldSince_IsNoCautionOfThePour()
    {
        await _desk.Pieces.HoldPieceAsync(new() { Name = Walnut, Reason = "soft all through", Person = "Asa" });

        Assert.Empty((await _desk.CorrectPourAsync(depthMm: 25)).Cautions);
        Assert.Contains((await _desk.PourAsync(Walnut, First, 100_000, 5)).Cautions, caution => caution.Reason == "PIECE_HELD");
    }

    [Fact]
    public async Task Repeat_WithTheSameRequestId_ChangesNothing()
    {
        var request = new CorrectPourRequest
        {
            Name = _desk.Pour.Name, Kind = Correction.Types.Kind.IncorrectData, RightPiece = Cherry, Person = "Ana", Reason = "the mould beside it",
            RequestId = "5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11",
        };
        var first = await _desk.Pieces.CorrectPourAsync(request);
        var evidence = _desk.Evidence();

        Assert.Equal(first, await _desk.Pieces.CorrectPourAsync(request));
        Assert.Equal(evidence, _desk.Evidence());
    }

    private async Task<Piece> PieceAsync(string name) => await _desk.Pieces.GetPieceAsync(new() { Name = name });

    private static string Id(Pour pour) => pour.Name[(pour.Name.LastIndexOf('/') + 1)..];
}
