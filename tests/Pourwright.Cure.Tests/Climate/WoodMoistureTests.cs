using Pourwright.Cure.Climate;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Climate;

/// <summary>Equilibrium moisture of wood; the table is typed from memory, see Reference/README.md.</summary>
public class WoodMoistureTests
{
    // The table is in °F: °C = (°F − 32)/1.8. Greatest difference seen 0.055; 0.07 is asked.
    [Fact]
    public void EquilibriumPercent_OfEveryCellOfTheHandbookTable_IsWithinItsRounding()
    {
        var rows = ReferenceFiles.Table("trace/emc_wood_table.csv");
        Assert.Equal(190, rows.Length);
        Assert.All(rows, row => Assert.Equal(row[3], WoodMoisture.EquilibriumPercent((row[0] - 32) / 1.8, row[2]), 0.07));
        Assert.All(rows, row => Assert.Equal(row[5], WoodMoisture.EquilibriumPercent((row[0] - 32) / 1.8, row[2]), 0.001));
    }

    // Computed by hand from the equation: 20 °C, 50 %, k = (0.805 + 0.01472 − 0.001092) · 0.5 = 0.409314.
    [Fact]
    public void EquilibriumPercent_OfAHeatedRoom_IsAboutNine()
    {
        Assert.Equal(9.271, WoodMoisture.EquilibriumPercent(20, 50), 1e-3);
    }

    [Theory]
    [InlineData(-2, 50, "Air temperature")]
    [InlineData(50, 50, "Air temperature")]
    [InlineData(double.NaN, 50, "Air temperature")]
    [InlineData(20, 4, "Relative humidity")]
    [InlineData(20, 96, "Relative humidity")]
    public void EquilibriumPercent_OutsideItsRange_IsRefused(double celsius, double percent, string quantity)
    {
        var refusal = Assert.Throws<CureRangeException>(() => WoodMoisture.EquilibriumPercent(celsius, percent));
        Assert.Equal(quantity, refusal.Quantity);
    }
}
