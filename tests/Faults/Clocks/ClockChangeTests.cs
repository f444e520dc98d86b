using Microsoft.Extensions.DependencyInjection;
using Pourwright.Faults.Simulation;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Clocks;

/// <summary>
/// Goal: no clock change loses a reminder, doubles it, or sends it at night, whatever the zone. Method: around every change of the
/// years from 2020 on, in five zones, a reminder is due each half hour for two days, and a sweep looks each ten minutes; the instant
/// at which each must go out is reckoned here anew: the first look at or after its time at which the site's clock is not in quiet hours.
/// </summary>
public sealed class ClockChangeTests
{
    private const int FirstYear = 2020;

    /// <summary>Changes at 01:00 UTC, at 02:00 local time, by half an hour, at midnight, and in the southern winter.</summary>
    private static readonly string[] Zones = ["Europe/Lisbon", "America/New_York", "Australia/Lord_Howe", "America/Santiago", "Pacific/Auckland"];

    private static readonly TimeSpan Look = TimeSpan.FromMinutes(10), Each = TimeSpan.FromMinutes(30), Around = TimeSpan.FromHours(24), After = TimeSpan.FromHours(12);

    /// <summary>Site contacts have no address here: what goes out is counted in the records.</summary>
    private const int QuietStart = 21 * 60, QuietEnd = 8 * 60;

    private sealed record Due(string Name, string Zone, long RemindMs, bool IsSafety);

    private sealed record Sent(string Name, long? SendMs, long? SendSequence);

    [Fact]
    public async Task Reminders_AroundEveryClockChange_GoOutOnceAtTheFirstWakingMoment()
    {
        var years = Cycles.Of(inShort: 2, inLong: 16);
        var changes = Zones.SelectMany(zone => Changes(zone, years).Select(at => (Zone: zone, At: at))).OrderBy(change => change.At).ToList();
        var clock = new SimulatedClock(new(FirstYear, 1, 1, 0, 0, 0, TimeSpan.Zero));
        await using var harness = await StudioHarness.StartAsync(services => services.AddSingleton<TimeProvider>(clock));
        var due = changes.SelectMany(change => DueAround(change.Zone, change.At)).DistinctBy(reminder => reminder.Name).ToList();
        await InsertAsync(harness, due);

        var looks = Looks(changes.Select(change => change.At));
        var sweep = harness.Services.GetRequiredService<DueReminders>();
        foreach (var look in looks)
        {
            clock.Now = look;
            await sweep.RunAsync(CancellationToken.None);
        }

        var sent = harness.Reads.Read(session => session.Query<Sent>("SELECT name, send_ms, send_sequence FROM reminders")).ToDictionary(row => row.Name);
        var looksMs = looks.Select(look => look.ToUnixTimeMilliseconds()).ToList();
        Figures.AtLeast("clock_changes", changes.Count, Zones.Length);
        Figures.AtLeast("clock_change_reminders", due.Count, changes.Count);
        Figures.AtMost("clock_change_reminders_lost", due.Count(reminder => sent[reminder.Name].SendMs is null), 0);
        Figures.AtMost("clock_change_reminders_doubled", due.Count - sent.Values.Select(row => row.SendSequence).Distinct().Count(), 0);
        Figures.AtMost("clock_change_reminders_at_another_time", due.Count(reminder => sent[reminder.Name].SendMs != Expected(reminder, looksMs)), 0);
        Figures.AtMost("clock_change_reminders_out_of_order", due.GroupBy(reminder => (reminder.Zone, reminder.IsSafety)).Sum(site => OutOfOrder([.. site], sent)), 0);
    }

    /// <summary>A class at nine the day before a change and at nine the day after it; every minute of the day of the change means one instant, or is asked about.</summary>
    [Fact]
    public void LocalTimes_OnEveryDayOfAChange_MeanOneInstantOrAreAskedAbout()
    {
        var wrong = 0;
        foreach (var zone in Zones)
            foreach (var change in Changes(zone, years: 16))
            {
                var info = TimeZoneInfo.FindSystemTimeZoneById(zone);
                var day = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(change.AddMinutes(-1), info).DateTime);
                // 48 hours by the clock, less what it was put forward.
                var elapsed = LocalTimes.Resolve(zone, day.AddDays(1), 9 * 60).UtcMs - LocalTimes.Resolve(zone, day.AddDays(-1), 9 * 60).UtcMs;
                var forward = info.GetUtcOffset(change.AddHours(2)) - info.GetUtcOffset(change.AddHours(-2));
                wrong += elapsed == (TimeSpan.FromHours(48) - forward).TotalMilliseconds ? 0 : 1;
                wrong += Enumerable.Range(0, 24 * 60).Count(minute => !IsRight(info, zone, day, minute));
            }
        Figures.AtMost("clock_change_local_times_wrong", wrong, 0);
    }

    /// <summary>An hour and a day to and fro, and a machine that slept: each reminder goes out once, in its order.</summary>
    [Fact]
    public async Task Reminders_ClockSetToAndFroAndAsleep_GoOutOnce()
    {
        var start = StudioHarness.Start;
        var clock = new SimulatedClock(start);
        await using var harness = await StudioHarness.StartAsync(services => services.AddSingleton<TimeProvider>(clock));
        List<Due> due = [.. Enumerable.Range(0, 300).Select(i => new Due($"step-{i}", Zones[0], start.AddMinutes(20 * i).ToUnixTimeMilliseconds(), true))];
        await InsertAsync(harness, due);
        var sweep = harness.Services.GetRequiredService<DueReminders>();
        TimeSpan[] steps = [TimeSpan.FromHours(1), TimeSpan.FromHours(-1), TimeSpan.FromDays(1), TimeSpan.FromDays(-1), TimeSpan.FromHours(8)];
        for (var look = 0; look < 1200; look++)
        {
            clock.Now += look % 100 == 99 ? steps[look / 100 % steps.Length] : TimeSpan.FromMinutes(5);
            await sweep.RunAsync(CancellationToken.None);
        }
        var sent = harness.Reads.Read(session => session.Query<Sent>("SELECT name, send_ms, send_sequence FROM reminders")).ToDictionary(row => row.Name);
        Figures.AtMost("clock_step_reminders_lost", due.Count(reminder => sent[reminder.Name].SendMs is null), 0);
        Figures.AtMost("clock_step_reminders_early", due.Count(reminder => sent[reminder.Name].SendMs < reminder.RemindMs), 0);
        Figures.AtMost("clock_step_reminders_doubled", due.Count - sent.Values.Select(row => row.SendSequence).Distinct().Count(), 0);
        Figures.AtMost("clock_step_reminders_out_of_order", OutOfOrder(due, sent), 0);
    }

    private static int OutOfOrder(IReadOnlyList<Due> due, Dictionary<string, Sent> sent)
    {
        var places = due.OrderBy(reminder => reminder.RemindMs).Select(reminder => sent[reminder.Name].SendSequence ?? 0).ToList();
        return places.Zip(places.Skip(1)).Count(pair => pair.First >= pair.Second);
    }

    private static long Expected(Due reminder, IReadOnlyList<long> looksMs)
    {
        var zone = TimeZoneInfo.FindSystemTimeZoneById(reminder.Zone);
        return looksMs.First(look => look >= reminder.RemindMs && (reminder.IsSafety || IsAwake(zone, look)));
    }

    private static bool IsAwake(TimeZoneInfo zone, long ms)
    {
        var time = TimeZoneInfo.ConvertTime(DateTimeOffset.FromUnixTimeMilliseconds(ms), zone).TimeOfDay;
        return time.TotalMinutes >= QuietEnd && time.TotalMinutes < QuietStart;
    }

    private static bool IsRight(TimeZoneInfo info, string zone, DateOnly day, int minute)
    {
        var local = day.ToDateTime(TimeOnly.MinValue).AddMinutes(minute);
        try
        {
            var instant = DateTimeOffset.FromUnixTimeMilliseconds(LocalTimes.Resolve(zone, day, minute).UtcMs);
            return TimeZoneInfo.ConvertTime(instant, info).DateTime == local && !info.IsAmbiguousTime(local);
        }
        catch (Refusal refusal)
        {
            return refusal.Reason == (info.IsInvalidTime(local) ? Reasons.LocalTimeMissing : info.IsAmbiguousTime(local) ? Reasons.LocalTimeTwice : "");
        }
    }

    /// <summary>Instants at which the offset changes, found hour by hour and then to the half hour.</summary>
    private static IEnumerable<DateTimeOffset> Changes(string zone, int years)
    {
        var info = TimeZoneInfo.FindSystemTimeZoneById(zone);
        var start = new DateTimeOffset(FirstYear, 1, 1, 0, 0, 0, TimeSpan.Zero);
        var halfHours = (int)((start.AddYears(years) - start).TotalHours * 2);
        return Enumerable.Range(1, halfHours).Select(i => start.AddMinutes(30 * i)).Where(at => info.GetUtcOffset(at) != info.GetUtcOffset(at.AddMinutes(-30)));
    }

    private static IEnumerable<Due> DueAround(string zone, DateTimeOffset change)
    {
        var count = (int)(2 * Around / Each);
        // Seven minutes past, so that none falls on a look; every fifth is of safety.
        return Enumerable.Range(0, count).Select(i => change - Around + i * Each + TimeSpan.FromMinutes(7))
            .Select((at, i) => new Due($"{Id(zone)}-{at.ToUnixTimeSeconds()}", zone, at.ToUnixTimeMilliseconds(), i % 5 == 0));
    }

    private static List<DateTimeOffset> Looks(IEnumerable<DateTimeOffset> changes) =>
        [.. changes.SelectMany(change => Enumerable.Range(0, (int)((2 * Around + After) / Look)).Select(i => change - Around + i * Look)).Distinct().Order()];

    private static string Id(string zone) => zone.Split('/')[1].ToLowerInvariant().Replace('_', '-');

    private static async Task InsertAsync(StudioHarness harness, IReadOnlyList<Due> due)
    {
        await new V1.StudioService.StudioServiceClient(harness.Channel).CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
        foreach (var zone in Zones)
            await new V1.SiteService.SiteServiceClient(harness.Channel).CreateSiteAsync(new()
            {
                Parent = "studios/birch",
                SiteId = Id(zone),
                Site = new()
                {
                    DisplayName = zone,
                    TimeZone = zone,
                    QuietHoursStart = new() { Hours = QuietStart / 60 },
                    QuietHoursEnd = new() { Hours = QuietEnd / 60 },
                    Contacts = { new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Bo" } },
                },
            });
        await harness.Writer.WriteAsync(tx => tx.Execute(
            """
            INSERT INTO reminders (name, studio, site, kind, state, subject, decision, text, recipient_role, safety, remind_ms)
            VALUES (@Name, 'studios/birch', @site, 1, 1, @Name, @Name, 'Look after it.', 1, @IsSafety, @RemindMs)
            """, due.Select(reminder => new { reminder.Name, site = $"studios/birch/sites/{Id(reminder.Zone)}", reminder.IsSafety, reminder.RemindMs })));
    }
}
