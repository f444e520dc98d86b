using Pourwright.Cure.Climate;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Climate;

/// <summary>Dew points and saturation pressures; Reference/README.md says where each table comes from.</summary>
public class AirMoistureTests
{
    public static IEnumerable<object[]> DewPoints =>
        ReferenceFiles.Table("trace/dew_point.csv").Select(row => new object[] { row[0], row[1], row[2] });

    public static IEnumerable<object[]> BuildingTable =>
        ReferenceFiles.Table("trace/dew_point.csv").Where(row => row[5] > 0)
            .Select(row => new object[] { row[0], row[1], row[5] });

    // Computed from the same coefficients, printed to four decimals.
    [Theory]
    [MemberData(nameof(DewPoints))]
    public void DewPoint_OfRoomAir_IsThatOfTheMagnusForm(double celsius, double percent, double dewCelsius)
    {
        Assert.Equal(dewCelsius, AirMoisture.DewPointCelsius(celsius, percent), 1e-4);
    }

    // A building-physics table typed from memory, one decimal; its cells below 0 °C are frost points and left out.
    [Theory]
    [MemberData(nameof(BuildingTable))]
    public void DewPoint_AboveFreezing_IsWithinATenthOfTheBuildingTable(double celsius, double percent, double dewCelsius)
    {
        Assert.Equal(dewCelsius, AirMoisture.DewPointCelsius(celsius, percent), 0.1);
    }

    // analytic.json, evaluated apart from dew_point.csv.
    [Theory]
    [InlineData(20, 50, 9.255174598981256)]
    [InlineData(20, 85, 17.399413438507345)]
    [InlineData(25, 60, 16.693149006198954)]
    [InlineData(15, 80, 11.575472712168851)]
    public void DewPoint_OfFourRooms_AgreesToNineDigits(double celsius, double percent, double dewCelsius)
    {
        Assert.Equal(dewCelsius, AirMoisture.DewPointCelsius(celsius, percent), 1e-9);
    }

    [Fact]
    public void SaturationPressure_OfTheTable_IsThatOfTheMagnusFormAndNearTheSteamFormulation()
    {
        var rows = ReferenceFiles.Table("trace/saturation_pressure_hpa.csv");
        Assert.NotEmpty(rows);
        Assert.All(rows, row => Assert.Equal(row[1], AirMoisture.SaturationPressureHectopascal(row[0]), 1e-4));
        Assert.All(rows, row => Assert.Equal(row[3], AirMoisture.SaturationPressureHectopascal(row[0]), 0.005 * row[3]));
    }

    [Fact]
    public void DewPoint_OfSaturatedAir_IsItsTemperature()
    {
        double[] temperatures = [-45, -10, 0, 21.5, 60];
        Assert.All(temperatures, celsius => Assert.Equal(celsius, AirMoisture.DewPointCelsius(celsius, 100), 1e-9));
    }

    [Theory]
    [InlineData(-45.1, 50, "Air temperature", -45, 60)]
    [InlineData(60.1, 50, "Air temperature", -45, 60)]
    [InlineData(double.NaN, 50, "Air temperature", -45, 60)]
    [InlineData(20, 0.5, "Relative humidity", 1, 100)]
    [InlineData(20, 100.5, "Relative humidity", 1, 100)]
    [InlineData(20, double.NaN, "Relative humidity", 1, 100)]
    public void DewPoint_OutsideItsRange_IsRefused(double celsius, double percent, string quantity, double lowest, double highest)
    {
        var refusal = Assert.Throws<CureRangeException>(() => AirMoisture.DewPointCelsius(celsius, percent));
        Assert.Equal((quantity, lowest, highest), (refusal.Quantity, refusal.Lowest, refusal.Highest));
    }
}
