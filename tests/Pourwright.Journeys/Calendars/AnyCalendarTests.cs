using System.Text.Json;
using NodaTime;
using Pourwright.Studio.Calendars;
using Pourwright.Testing;
using V1 = Pourwright.V1;

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

    /// <summary>
    /// Served over HTTP. 28 March 10:00 in Berlin is UTC+1, the 30th UTC+2; 24 October UTC+2, the 26th UTC+1. In New York 7 March
    /// 10:00 is UTC−5, the 9th UTC−4; 31 October UTC−4, 2 November UTC−5.
    /// </summary>
    [Theory]
    [InlineData(SampleSeason.Hof, "2026-03-28T09:00Z", "2026-03-30T07:00Z", "2026-10-24T08:00Z", "2026-10-26T08:00Z")]
    [InlineData(SampleSeason.Pier, "2026-03-07T15:00Z", "2026-03-09T13:00Z", "2026-10-31T14:00Z", "2026-11-02T14:00Z")]
    public async Task AnotherParser_ReadsAServedFeed_AroundBothClockChanges(string site, params string[] starts)
    {
        await using var node = await SeasonAsync();

        var read = await NodeScript.RunAsync("read-a-feed.js", await OpenAsync(node, site));

        var events = read.GetProperty("events").EnumerateArray().ToList();
        Assert.Equal(starts.Select(start => DateTimeOffset.Parse(start, null)), events.Select(one => At(one, "startMs")));
        Assert.All(events, one => Assert.Equal(TimeSpan.FromHours(4), At(one, "endMs") - At(one, "startMs")));
        Assert.Equal("PUBLISH", read.GetProperty("method").GetString());
    }

    [Fact]
    public async Task AnotherParser_SeesSequenceGrow_AndTheCancelling()
    {
        await using var node = await SeasonAsync();
        var address = await OpenAsync(node, SampleSeason.Hof);
        var first = (await NodeScript.RunAsync("read-a-feed.js", address)).GetProperty("events")[0];

        await SampleSeason.ScheduleAsync(node.Channel, SampleSeason.HofSpring, SampleSeason.Hof, SampleTeaching.Ana, new(2026, 4, 4), "The hall is let.");
        var moved = (await NodeScript.RunAsync("read-a-feed.js", address)).GetProperty("events")[0];
        await new V1.ClassService.ClassServiceClient(node.Channel).CancelCastingClassAsync(new() { Name = SampleSeason.HofSpring, Reason = "Too few took part." });
        var cancelled = (await NodeScript.RunAsync("read-a-feed.js", address)).GetProperty("events")[0];

        JsonElement[] all = [first, moved, cancelled];
        Assert.Single(all.Select(one => one.GetProperty("uid").GetString()).Distinct());
        Assert.Equal(["CONFIRMED", "CONFIRMED", "CANCELLED"], all.Select(one => one.GetProperty("status").GetString()));
        var sequence = all.Select(one => one.GetProperty("sequence").GetInt32()).ToList();
        Assert.True(sequence[0] < sequence[1] && sequence[1] < sequence[2], string.Join(' ', sequence));
        Assert.Equal(DateTimeOffset.Parse("2026-04-04T08:00Z", null), At(moved, "startMs"));
        Assert.StartsWith("This session is cancelled: Too few took part.", cancelled.GetProperty("description").GetString(), StringComparison.Ordinal);
    }

    private static async Task<StudioHarness> SeasonAsync()
    {
        var node = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        await SampleSeason.CreateAsync(node.Channel);
        return node;
    }

    private static async Task<string> OpenAsync(StudioHarness node, string site) => new Uri(node.HttpAddress,
        (await new V1.CalendarService.CalendarServiceClient(node.Channel).CreateCalendarLinkAsync(
            new() { Parent = SampleStudio.Name, CalendarLink = new() { Site = site } })).FeedPath).ToString();

    private static DateTimeOffset At(JsonElement one, string instant) => DateTimeOffset.FromUnixTimeMilliseconds(one.GetProperty(instant).GetInt64());

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
