using Pourwright.Cli.Kernel;

namespace Pourwright.Journeys.Cli;

public class QuantityTests
{
    [Theory]
    [InlineData("1.39kg", 1_390_000)]
    [InlineData("580g", 580_000)]
    [InlineData("580 G", 580_000)]
    [InlineData("250mg", 250)]
    [InlineData("0,58kg", 580_000)]
    [InlineData("0,580kg", 580_000)]
    // 1 lb = 453.59237 g: 453592.37 mg, to the nearest whole one.
    [InlineData("1lb", 453_592)]
    // 453592.37 / 16 = 28349.52.
    [InlineData("1oz", 28_350)]
    // A double would make 1.1 kg 1100000.0000000002 mg.
    [InlineData("1.1kg", 1_100_000)]
    [InlineData("0g", 0)]
    public void Mass_WrittenWithItsUnit_IsWholeMilligrams(string text, long mg) => Assert.Equal(mg, Mass.Parse(text).Mg);

    [Theory]
    [InlineData("580", "needs a unit")]
    [InlineData("1.39kilo", "needs a unit")]
    [InlineData("heavy", "is not a mass")]
    [InlineData("", "is not a mass")]
    [InlineData("1.2.3kg", "is not a mass")]
    [InlineData("1,390g", "in two ways")]
    [InlineData("99999999999999kg", "out of reach")]
    public void Mass_WrittenWrongly_SaysWhatIsWanted(string text, string says) =>
        Assert.Contains(says, Assert.Throws<FormatException>(() => Mass.Parse(text)).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(1_390_000, "1.39 kg")]
    [InlineData(999_999, "999.999 g")]
    [InlineData(1_000_000, "1 kg")]
    [InlineData(580_000, "580 g")]
    [InlineData(250, "0.25 g")]
    [InlineData(-12_000, "-12 g")]
    public void Mass_ForPeople_IsGramsBelowAKilogram(long mg, string text) => Assert.Equal(text, new Mass(mg).ToString());

    [Theory]
    [InlineData("40mm", 40)]
    [InlineData("4 cm", 40)]
    [InlineData("1.5in", 38.1)]
    public void Depth_WrittenWithItsUnit_IsMillimetres(string text, double mm) => Assert.Equal(mm, Depth.Parse(text).Mm, 9);

    [Theory]
    [InlineData("21.5C", 21.5)]
    [InlineData("21.5°C", 21.5)]
    [InlineData("-5 C", -5)]
    // (70 - 32) / 1.8 = 21.111
    [InlineData("70F", 21.111111111)]
    [InlineData("32 °F", 0)]
    public void Temperature_WrittenWithItsUnit_IsCelsius(string text, double celsius) => Assert.Equal(celsius, Temperature.Parse(text).Celsius, 6);

    [Fact]
    public void Temperature_WithoutUnit_IsRefusedSinceItMayBeFahrenheit() =>
        Assert.Contains("needs a unit (C, F)", Assert.Throws<FormatException>(() => Temperature.Parse("70")).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData("5C", 5)]
    [InlineData("5 K", 5)]
    [InlineData("-0.5°C", -0.5)]
    // 9 / 1.8
    [InlineData("9F", 5)]
    [InlineData("9 °F", 5)]
    public void TemperatureDifference_InFahrenheit_IsNoTemperature(string text, double kelvin) =>
        Assert.Equal(kelvin, TemperatureDifference.Parse(text).Kelvin, 9);

    [Theory]
    [InlineData("55%", 55)]
    [InlineData("55", 55)]
    [InlineData("9.5 %", 9.5)]
    public void Percent_WithOrWithoutItsSign_IsItsNumber(string text, double value) => Assert.Equal(value, Percent.Parse(text).Value);

    [Theory]
    [InlineData("40min", 40)]
    [InlineData("40m", 40)]
    [InlineData("6h", 360)]
    [InlineData("1h30min", 90)]
    [InlineData("1h 30 min", 90)]
    // 2 * 24 * 60
    [InlineData("2d", 2_880)]
    [InlineData("90s", 1.5)]
    // -(24 + 12) * 60
    [InlineData("-1d12h", -2_160)]
    [InlineData("-0d12h", -720)]
    [InlineData("+1d12h", 2_160)]
    public void Span_OfOneOrMoreParts_IsTheirSum(string text, double minutes) => Assert.Equal(minutes, Span.Parse(text).Length.TotalMinutes);

    [Theory]
    [InlineData("soon")]
    [InlineData("6")]
    [InlineData("")]
    [InlineData("1h soon")]
    [InlineData("--1h")]
    [InlineData("1d-12h")]
    [InlineData("3652501d")]
    public void Span_WrittenWrongly_IsRefused(string text) => Assert.Throws<FormatException>(() => Span.Parse(text));

    [Theory]
    [InlineData(320, "5 h 20 min")]
    [InlineData(300, "5 h")]
    [InlineData(59.9, "59 min")]
    [InlineData(0.5, "30 s")]
    // 51 h = 2 d 3 h; minutes are dropped from a day on.
    [InlineData(3_065, "2 d 3 h")]
    [InlineData(1_440, "1 d")]
    // 10 d 20 h: hours are dropped from ten days on.
    [InlineData(15_600, "10 d")]
    [InlineData(-320, "5 h 20 min")]
    public void Span_ForPeople_IsItsTwoLargestUnits(double minutes, string text) =>
        Assert.Equal(text, new Span(TimeSpan.FromMinutes(minutes)).ToString());
}
