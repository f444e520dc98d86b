using Pourwright.Studio.Lots;
using Pourwright.V1;
using State = Pourwright.V1.Container.Types.State;

namespace Pourwright.Studio.Tests.Lots;

public sealed class FillContainerTests
{
    private const long NowMs = 1_000_000, ShelfLifeMs = 500;

    [Fact]
    public void Decant_FromAnOldCan_MakesNoYoungJug()
    {
        var can = LotRows.Container("can", Part.A).With(c => c with { OpenMs = 10, ExpireMs = 510 });

        var changes = FillContainer.Decant(can, $"{LotRows.Studio}/containers/jug", 400_000, NowMs, ShelfLifeMs);

        var (source, jug) = (changes[0].Container, changes[1].Container);
        Assert.Equal((600_000L, 400_000L, 400_000L), (source.RemainingMassMg, jug.RemainingMassMg, jug.ReceivedMassMg));
        Assert.Equal((State.Open, 10L, 510L), (jug.State, jug.OpenMs, jug.ExpireMs));
    }

    [Fact]
    public void Decant_FromASealedCan_OpensItNow()
    {
        var can = LotRows.Container("can", Part.A).With(c => c with { State = State.Sealed, OpenMs = null });

        var changes = FillContainer.Decant(can, $"{LotRows.Studio}/containers/jug", 400_000, NowMs, ShelfLifeMs);

        Assert.Equal(["opened", "decanted"], changes[0].Events.Select(e => e.Kind));
        Assert.All(changes, change => Assert.Equal((NowMs, NowMs + ShelfLifeMs), (change.Container.OpenMs!.Value, change.Container.ExpireMs!.Value)));
    }

    [Fact]
    public void TopUp_WithOlderResin_AgesTheTank()
    {
        var tank = LotRows.Container("tank", Part.A).With(c => c with { OpenMs = 900_000, ExpireMs = 3_000_000 });
        var can = LotRows.Container("can", Part.A).With(c => c with { OpenMs = 800_000, ExpireMs = 2_000_000 });

        var changes = FillContainer.TopUp(tank, can, LotRows.North, 1_000_000, NowMs, null);

        Assert.Equal((State.Spent, 0L), (changes[0].Container.State, changes[0].Container.RemainingMassMg));
        Assert.Equal((2_000_000L, 800_000L, 2_000_000L),
            (changes[1].Container.RemainingMassMg, changes[1].Container.OpenMs!.Value, changes[1].Container.ExpireMs!.Value));
        Assert.Equal(["decanted", "filled"], changes.SelectMany(change => change.Events).Select(e => e.Kind));
    }
}
