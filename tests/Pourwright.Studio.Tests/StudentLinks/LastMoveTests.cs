using Pourwright.Studio.StudentLinks;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Tests.StudentLinks;

public sealed class LastMoveTests
{
    private const long Minute = 60_000;

    // Minutes of each revision, '-' for no safe time; what was told before, and since.
    [Theory]
    [InlineData("600", null)]
    [InlineData("600 614", null)]
    [InlineData("600 615", "600 615")]
    // Small steps add up: 600 to 620 is worth telling where 600 to 610 was not.
    [InlineData("600 610 620", "600 620")]
    [InlineData("600 660 661", "600 660")]
    [InlineData("600 -", "600 -")]
    [InlineData("- 600", "- 600")]
    [InlineData("- -", null)]
    public void Move_IsTheLastOfAQuarterOfAnHourOrMore(string revisions, string? told)
    {
        var move = LastMove.Of([.. revisions.Split(' ').Select((minutes, index) => new ForecastStep
        {
            Cause = index == 0 ? Cause.Pour : Cause.Readings, ForecastMs = index, HandleSafeMs = minutes == "-" ? null : long.Parse(minutes, System.Globalization.CultureInfo.InvariantCulture) * Minute,
        })]);

        Assert.Equal(told, move is null ? null : $"{Said(move.BeforeTime)} {Said(move.AfterTime)}");
        if (move is not null) Assert.Equal(Cause.Readings, move.Cause);
    }

    private static string Said(Google.Protobuf.WellKnownTypes.Timestamp? time) => time is null ? "-" : $"{time.Seconds / 60}";
}
