using Pourwright.Pages.Words;

namespace Pourwright.Pages.Tests.Words;

public sealed class TextsTests
{
    private static readonly TimeZoneInfo Lisbon = TimeZoneInfo.FindSystemTimeZoneById("Europe/Lisbon");

    // 17:16 UTC on 26 November is 17:16 in Lisbon, a Thursday.
    [Theory]
    [InlineData("en", "Thu 26 Nov 17:16")]
    [InlineData("de", "Do 26. Nov. 17:16")]
    public void When_IsSaidByTheClockOfTheSite(string language, string said) =>
        Assert.Equal(said, Texts.In(language).When(new(2026, 11, 26, 17, 16, 0, TimeSpan.Zero), Lisbon));

    [Theory]
    [InlineData(-5, "0 min")]
    [InlineData(59, "59 min")]
    [InlineData(200, "3 h 20 min")]
    [InlineData(2879, "47 h 59 min")]
    [InlineData(3120, "2 d 4 h")]
    public void Span_IsSaidCoarserTheLongerItIs(int minutes, string said) => Assert.Equal(said, Texts.In("en").Span(TimeSpan.FromMinutes(minutes)));

    // 1 oz = 28.349523125 g, 1 in = 25.4 mm, 20 °C = 68 °F (exact).
    [Theory]
    [InlineData("metric", "1,420 g", "40 mm", "20.0 °C", "3.0 °C")]
    [InlineData("us", "50.1 oz", "1.57 in", "68 °F", "5 °F")]
    public void Quantities_AreSaidInBothSystems(string system, string mass, string length, string temperature, string difference)
    {
        var manner = new Manner(Texts.In("en"), Units.In(system));

        Assert.Equal((mass, length, temperature, difference),
            (manner.Mass(1_420_000), manner.Length(40), manner.Temperature(20), manner.TemperatureDifference(3)));
    }
}
