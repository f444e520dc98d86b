using System.Text.Json;
using NodaTime;
using Pourwright.Studio.Calendars;

namespace Pourwright.Journeys.Calendars;

/// <summary>Feeds as another library reads them, which knows of zones only what stands in the feed.</summary>
public sealed class AnyCalendarTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("pourwright-any-calendar-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    /// <summary>
    /// Two years in steps of 41 hours, so that every hour of the day and every clock change is met: yearly rules (Berlin, New York),
    /// a rule that replaces another (New York in 2007), an exception in winter (Dublin), half an hour (Lord Howe), south of the
    /// equator (Santiago), by the moon (Casablanca, Gaza), given up (São Paulo in 2019), none (Tokyo).
    /// </summary>
    [Theory]
    [InlineData("Europe/Berlin", 2026)]
    [InlineData("America/New_York", 2026)]
    [InlineData("America/New_York", 2006)]
    [InlineData("Europe/Dublin", 2026)]
    [InlineData("Australia/Lord_Howe", 2026)]
    [InlineData("America/Santiago", 2026)]
    [InlineData("Africa/Casablanca", 2026)]
    [InlineData("Asia/Gaza", 2026)]
    [InlineData("America/Sao_Paulo", 2018)]
    [InlineData("Asia/Tokyo", 2026)]
    public async Task AnotherParser_FindsTheInstantsOfEverySession(string zone, int year)
    {
        var first = Instant.FromUtc(year, 1, 3, 0, 30);
        CalendarSession[] sessions = [.. Enumerable.Range(0, 17520 / 41).Select(i => Session(zone, first + NodaTime.Duration.FromHours(41 * i), i))];

        var read = await ReadAsync(CalendarFeed.Write("Alder", "Alder, North Hall", sessions));

        var events = read.GetProperty("events").EnumerateArray().ToDictionary(
            one => one.GetProperty("uid").GetString()!, one => (one.GetProperty("startMs").GetInt64(), one.GetProperty("endMs").GetInt64()));
        Assert.Equal(sessions.Length, events.Count);
        Assert.Equal(sessions.Select(session => (session.StartMs, session.EndMs)), events.Values);
        Assert.Equal([zone], read.GetProperty("zones").EnumerateArray().Select(one => one.GetString()));
    }

    private async Task<JsonElement> ReadAsync(string feed)
    {
        var path = Path.Combine(_folder, "feed.ics");
        await File.WriteAllTextAsync(path, feed);
        return await NodeScript.RunAsync("read-a-feed.js", path);
    }

    private static CalendarSession Session(string zone, Instant start, int number)
    {
        var local = start.InZone(DateTimeZoneProviders.Tzdb[zone]).LocalDateTime;
        return new()
        {
            Name = $"studios/alder/classes/class-{number}/sessions/pour",
            ClassTitle = $"Größe {number}; a, b",
            SiteTitle = "North Hall",
            InstructorTitle = "Ivo",
            TimeZone = zone,
            LocalDate = $"{local:yyyy-MM-dd}",
            LocalStartMinute = local.Hour * 60 + local.Minute,
            StartMs = start.ToUnixTimeMilliseconds(),
            EndMs = start.ToUnixTimeMilliseconds() + 4 * 3_600_000,
            Sequence = number,
            ChangeMs = 0,
        };
    }
}
