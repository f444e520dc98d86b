using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>Where the nodes of a slab stand, and what each stands for.</summary>
public class SlabTests
{
    private static readonly Material Resin = ResinCureModel.DeepCasting.Material;

    // Board 18 mm in 6 cells of 3, resin 40 mm in 8 cells of 5: nodes 0 to 6 and 7 to 15; the face at 18 mm has one of each.
    [Fact]
    public void Nodes_OfResinOnABoard_StandOnEveryFaceAndCellBetween()
    {
        var slab = Slab.Of(new(0.018, 6, Material.WoodBasedBoard), 293.15).With(new(0.040, 8, Resin), 293.15);
        Assert.Equal(16, slab.Nodes);
        double[] millimetres = [0, 3, 6, 9, 12, 15, 18, 18, 23, 28, 33, 38, 43, 48, 53, 58];
        Assert.Equal(millimetres, slab.HeightMetres.Take(16).Select(m => Math.Round(m * 1000, 9)));
    }

    // Per m²: board 0.018 m · 650 kg/m³ · 1700 J/(kg K), resin 0.040 · 1100 · 1850; only resin cures, 40 mm of it, half a cell of
    // 5 mm at each face. Beyond the nodes stands nothing.
    [Fact]
    public void Shares_OfTheNodes_AddUpToTheLayers()
    {
        var slab = Slab.Of(new(0.018, 6, Material.WoodBasedBoard), 293.15).With(new(0.040, 8, Resin), 293.15);
        Assert.Equal(0.018 * 650 * 1700 + 0.040 * 1100 * 1850, slab.Capacity.Sum(), 1e-6);
        Assert.All(slab.ResinMetres.Take(7), metres => Assert.Equal(0, metres));
        Assert.Equal(0.0025, slab.ResinMetres[7], 1e-12);
        Assert.Equal(0.040, slab.ResinMetres.Sum(), 1e-12);
        Assert.Equal(0.040 * 1100 * 310e3, slab.HeatPerConversion.Sum(), 1e-3);
        Assert.Equal(0, slab.Capacity[slab.Nodes]);
    }

    // Half a cell of 1 mm at 20 °C on half a cell of 3 mm at 30 °C: (1 · 20 + 3 · 30)/4 = 27.5 °C, and no heat is lost.
    [Fact]
    public void Faces_ThatTouch_StartAtTheMeanOfTheirHeat()
    {
        var slab = Slab.Of(new(0.008, 8, Resin), 293.15).With(new(0.024, 8, Resin), 303.15);
        Assert.Equal(273.15 + 27.5, slab.Kelvin(8), 1e-9);
        Assert.Equal(273.15 + 27.5, slab.Kelvin(9), 1e-9);
        Assert.Equal(293.15, slab.Kelvin(7));
        Assert.Equal(303.15, slab.Kelvin(10));
    }
}
