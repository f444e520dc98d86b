using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Pourwright.V1;

namespace Pourwright.Journeys.Cli;

public class ReadingFileTests
{
    private const string Sensor = "studios/alder/sites/north/sensors/logger-1";
    private static readonly TimeZoneInfo Lisbon = TimeZoneInfo.FindSystemTimeZoneById("Europe/Lisbon");
    private static readonly DateTimeOffset Now = new(2026, 5, 3, 14, 0, 0, TimeSpan.Zero);

    [Fact]
    public void File_WithEveryColumn_IsReadLineByLine()
    {
        var readings = Read("""
            time,temperature_celsius,relative_humidity_percent,surface
            2026-05-03T10:00Z,21.5,55,18.25
            2026-05-03 11:15,21,,
            """);

        Assert.Equal(2, readings.Count);
        Assert.Equal((21.5, 55, 18.25), (readings[0].TemperatureCelsius, readings[0].RelativeHumidityPercent, readings[0].SurfaceTemperatureCelsius));
        Assert.Equal(Sensor, readings[0].Sensor);
        // 11:15 in Lisbon, summer time.
        Assert.Equal(new DateTimeOffset(2026, 5, 3, 10, 15, 0, TimeSpan.Zero), readings[1].ReadingTime.ToDateTimeOffset());
        Assert.False(readings[1].HasRelativeHumidityPercent);
        Assert.False(readings[1].HasSurfaceTemperatureCelsius);
    }

    [Fact]
    public void File_WithColumnsInAnotherOrderAndSemicolons_IsReadByTheirNames()
    {
        var reading = Assert.Single(Read("""
            Battery;Temperature_Celsius;Time
            97;19.5;2026-05-03T10:00Z
            """));

        Assert.Equal(19.5, reading.TemperatureCelsius);
        Assert.False(reading.HasRelativeHumidityPercent);
    }

    [Theory]
    [InlineData(";")]
    [InlineData("\t")]
    public void File_WithDecimalCommas_IsReadWhereAnotherSignPartsItsCells(string delimiter)
    {
        var reading = Assert.Single(Read(string.Join(
            '\n',
            string.Join(delimiter, "Battery, V", "time", "temperature_celsius", "relative_humidity_percent"),
            string.Join(delimiter, "3,1", "2026-05-01 10:00", "21,5", "55"))));

        Assert.Equal((21.5, 55), (reading.TemperatureCelsius, reading.RelativeHumidityPercent));
    }

    [Fact]
    public void File_WithDecimalCommasInQuotes_IsReadWhereACommaPartsItsCells() => Assert.Equal(21.5, Assert.Single(Read("""
        time,temperature_celsius
        2026-05-01 10:00,"21,5"
        """)).TemperatureCelsius);

    // 21,5 °C: neither is the 5 a humidity, nor is the 55 to be dropped.
    [Fact]
    public void Line_WithMoreCellsThanTheFirstNames_IsRefused()
    {
        var fault = Assert.Throws<UsageException>(() => Read("""
            time,temperature_celsius,relative_humidity_percent
            2026-05-01 10:00,21,55
            2026-05-01 10:10,21,5,55
            """));

        Assert.Contains("line 3: 4 cells under 3 columns", fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("line 2", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_ThatEndsWithADelimiter_HasNoCellMore() => Assert.Equal(21, Assert.Single(Read("""
        time,temperature_celsius
        2026-05-01 10:00,21,
        """)).TemperatureCelsius);

    [Fact]
    public void File_WithFaults_NamesEachLineAndSendsNothing()
    {
        var fault = Assert.Throws<UsageException>(() => Read("""
            time,temperature_celsius
            2026-05-03T10:00Z,warm
            2026-05-03T10:10Z,21
            noonish,21
            """));

        Assert.Contains("Nothing was sent", fault.Message, StringComparison.Ordinal);
        Assert.Contains("line 2: 'warm' in temperature_celsius is not a number", fault.Message, StringComparison.Ordinal);
        Assert.Contains("line 4: 'noonish' is not a time", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("2026-05-03T10:00Z,21.5,55")]
    [InlineData("time,temp")]
    public void File_WithoutItsColumnNames_IsRefused(string text) =>
        Assert.Contains("must name the columns", Assert.Throws<UsageException>(() => Read(text)).Message, StringComparison.Ordinal);

    private static IReadOnlyList<Reading> Read(string text) => ReadingFile.Read(new StringReader(text), Sensor, Lisbon, Now);
}
