using Pourwright.Pages.Words;
using Pourwright.V1;

namespace Pourwright.Pages.Tests.Words;

public sealed class SayingsTests
{
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");

    private static Sayings In(string language, string units = "metric") => new(new(Texts.In(language), Units.In(units)), Berlin);

    private static Advice Warm(string untilTime) => new()
    {
        Kind = "WARM_THE_ROOM",
        Text = "As the API says it.",
        Facts = { ["temperature_celsius"] = "24.5", ["from_time"] = "2026-03-28 17:00:00Z", ["until_time"] = untilTime, ["safe_by_time"] = "2026-03-29 17:00:00Z" },
    };

    // 17:00 UTC is 18:00 in Berlin on the evening before clocks are put forward, and 19:00 on the one after. 24.5 °C are 76.1 °F.
    [Theory]
    [InlineData("en", "metric", "", "Hold the bench at 24.5 °C from Sat 28 Mar 18:00: then it is safe for saw and planer by Sun 29 Mar 19:00.")]
    [InlineData("en", "us", "2026-03-29 05:00:00Z", "Hold the bench at 76 °F from Sat 28 Mar 18:00 until Sun 29 Mar 07:00, then let it cool: then")]
    [InlineData("de", "metric", "", "Die Werkbank ab Sa 28. März 18:00 auf 24,5 °C halten: so ist es bis So 29. März 19:00 sicher für Säge und Hobel.")]
    [InlineData("de", "metric", "2026-03-29 05:00:00Z", "Die Werkbank ab Sa 28. März 18:00 bis So 29. März 07:00 auf 24,5 °C halten, dann auskühlen lassen: so")]
    public void Advice_IsSaidInTheLanguageUnitsAndClockOfTheReader(string language, string units, string until, string beginning)
    {
        var said = In(language, units).Of(Warm(until));

        Assert.StartsWith(beginning, said.Text, StringComparison.Ordinal);
        Assert.Null(said.Language);
    }

    [Fact]
    public void Kind_WithoutAText_IsSaidAsTheApiSaysIt()
    {
        var unknown = new Advice { Kind = "OF_A_LATER_RELEASE", Text = "Do this." };

        Assert.Equal(new Said("Do this.", "en"), In("de").Of(unknown));
        Assert.Equal(new Said("Do this."), In("en").Of(unknown));
    }

    [Fact]
    public void Fact_ThatAnEarlierReleaseDidNotKeep_LeavesTheTextToTheApi()
    {
        var advice = Warm("");
        advice.Facts.Remove("safe_by_time");

        Assert.Equal(new Said("As the API says it.", "en"), In("de").Of(advice));
    }

    [Fact]
    public void Parts_AreSaidUnderTheirConditions_AlsoInOneAnother()
    {
        var facts = new Dictionary<string, string> { ["gate"] = "demold", ["at"] = "", ["by"] = "noon" };

        Assert.Equal("mould by noon", ChosenText.Fill("[gate=demold?mould[at? at {at}][by? by {by}]][gate=handle?saw {missing}][!gate?none]", facts, (_, value) => value));
        Assert.Null(ChosenText.Fill("[gate=demold?mould {missing}]", facts, (_, value) => value));
    }

    [Theory]
    [InlineData("A remark without statements.", "A remark without statements.", "en")]
    public void Reason_OfAnEarlierRelease_IsSaidAsItWasWritten(string reason, string text, string language) =>
        Assert.Equal(new Said(text, language), Assert.Single(In("de").Reason([], reason)));

    [Fact]
    public void Reason_IsSaidSentenceBySentence()
    {
        Statement[] statements =
        [
            new() { Kind = "ROOM_COLDER", Text = "…", Facts = { ["difference_kelvin"] = "2.0" } },
            new() { Kind = "SAFE_TIME_LATER", Text = "…", Facts = { ["shift_minutes"] = "200", ["safe_time"] = "2026-03-29 17:00:00Z", ["safe_before_time"] = "2026-03-29 13:40:00Z" } },
        ];

        Assert.Equal(
            ["Seit der Vorhersage davor war die Werkbank 2,0 °C kälter als angenommen.", "Sicher für Säge und Hobel 3 h 20 min später: So 29. März 19:00, nicht So 29. März 15:40."],
            In("de").Reason(statements, "").Select(said => said.Text));
    }
}
