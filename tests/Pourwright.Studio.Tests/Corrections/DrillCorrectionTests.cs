using Pourwright.Studio.Names;
using Pourwright.Studio.Tests.Lots;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Lots.RecallDrill;

namespace Pourwright.Studio.Tests.Corrections;

/// <summary>The drill of Reference/mock_recall.json with one of its mixes corrected; what follows is reckoned by hand from the file.</summary>
public sealed class DrillCorrectionTests : IAsyncLifetime
{
    private readonly RecallDrill _drill = new();
    private V1.MixService.MixServiceClient _mixes = null!;
    private V1.RecallService.RecallServiceClient _recalls = null!;
    private V1.TraceService.TraceServiceClient _traces = null!;

    public async Task InitializeAsync()
    {
        await _drill.InitializeAsync();
        (_mixes, _recalls, _traces) = (new(_drill.Harness.Channel), new(_drill.Harness.Channel), new(_drill.Harness.Channel));
    }

    public Task DisposeAsync() => _drill.DisposeAsync();

    // M-5 (PC-2, PC-7) drew its hardener from B-55 and not from B-56. B-56 then reaches M-4 with PC-6 alone.
    [Fact]
    public async Task WrongHardener_TheRecallListsOfBothLotsAreTheRightOnes()
    {
        Assert.Equal(["PC-2", "PC-6", "PC-7"], (await AskAsync("B-56")).List.Pieces.Select(piece => Code(piece.Piece)).Order());

        await CorrectAsync("M-5", "B-56", "B-55");

        var (wrong, right) = (await AskAsync("B-56"), await AskAsync("B-55"));
        Assert.Equal(["PC-6"], wrong.List.Pieces.Select(piece => Code(piece.Piece)));
        Assert.Equal(["M-4"], wrong.List.Mixes.Select(Code));
        Assert.Equal(["student-6"], wrong.Notices.Where(notice => notice.Role == RecallNotice.Types.Role.Maker).Select(notice => notice.Person));
        Assert.Equal(["PC-1", "PC-2", "PC-3", "PC-4", "PC-5", "PC-7"], right.List.Pieces.Select(piece => Code(piece.Piece)).Order());
    }

    // Both were counted since, so that their stock stays what was counted. B-56: 9000 - 800 - 7690 = 510 g are missing instead of 10;
    // B-55: 9000 - 3700 - 500 - 5300 = 500 g are too many instead of none missing.
    [Fact]
    public async Task WrongHardener_TheCountsHoldAndTheAccountsCloseOtherwise()
    {
        Assert.Equal((10_000, 0), ((await AccountAsync("B-56")).UnexplainedMassMg, (await AccountAsync("B-55")).UnexplainedMassMg));

        await CorrectAsync("M-5", "B-56", "B-55");

        var (wrong, right) = (await AccountAsync("B-56"), await AccountAsync("B-55"));
        Assert.Equal((510_000, 7_690_000), (wrong.UnexplainedMassMg, wrong.RemainingMassMg));
        Assert.Equal((-500_000, 5_300_000), (right.UnexplainedMassMg, right.RemainingMassMg));
    }

    // M-2 (PC-3) drew from the tank: A-102 reaches it as well, A-101 still does, by the tank.
    [Fact]
    public async Task WrongCan_WasTheTank_BothItsLotsReachThePiece()
    {
        Assert.DoesNotContain("PC-3", (await AskAsync("A-102")).List.Pieces.Select(piece => Code(piece.Piece)));

        await CorrectAsync("M-2", "A-101", "A-TANK-1");

        Assert.Contains("PC-3", (await AskAsync("A-102")).List.Pieces.Select(piece => Code(piece.Piece)));
        Assert.Contains("PC-3", (await AskAsync("A-101")).List.Pieces.Select(piece => Code(piece.Piece)));
        var shared = (await _traces.TracePieceAsync(new() { Name = Name(ResourceKind.Piece, "PC-3") })).Pours.SelectMany(pour => pour.Draws);
        Assert.Equal(["A-101", "A-102"], shared.Single(draw => Code(draw.Draw.Container) == "A-TANK-1").Lots.Select(lot => Code(lot.Name)));
    }

    private async Task CorrectAsync(string mix, string wrong, string right) => await _mixes.CorrectMixAsync(new()
    {
        Name = Name(ResourceKind.Mix, mix), Kind = Correction.Types.Kind.IncorrectData, Person = "Ana", Reason = "the can beside it",
        Draws = { new CorrectMixRequest.Types.RightDraw { Container = Name(ResourceKind.Container, wrong), RightContainer = Name(ResourceKind.Container, right) } },
    });

    private async Task<Recall> AskAsync(string lot) => await _recalls.StartRecallAsync(new()
    {
        Parent = SampleStudio.Name, Scope = new() { Name = LotName(lot) }, Reason = "soft pieces", Starter = "ana", ValidateOnly = true,
    });

    private async Task<MassAccount> AccountAsync(string lot) => (await _traces.TraceLotAsync(new() { Name = LotName(lot) })).Account;
}
