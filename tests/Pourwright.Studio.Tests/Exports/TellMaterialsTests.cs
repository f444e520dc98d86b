using Pourwright.Studio.Exports;
using Pourwright.Studio.Lots;

namespace Pourwright.Studio.Tests.Exports;

public sealed class TellMaterialsTests
{
    // A correction may leave nothing of what was thrown away; its row stays.
    [Fact]
    public void ThrownAwayNothing_IsNotTold() => Assert.Empty(TellMaterials.Of(
        [
            new()
            {
                Sequence = 7, Container = "studios/alder/containers/can-a1", Kind = ContainerEventKinds.Discarded, MassMg = 0, EventMs = 0,
                Site = "studios/alder/sites/north", Contents = 1, BalanceMg = 0,
            },
        ], null!));
}
