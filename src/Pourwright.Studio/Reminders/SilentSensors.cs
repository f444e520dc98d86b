using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A sensor that watches pieces which cure. Times in Unix ms.</summary>
public sealed record WatchingSensor
{
    public required string Name { get; init; }
    public required string Site { get; init; }
    public required string Studio { get; init; }
    public required string TimeZone { get; init; }
    /// <summary>With its site: "Logger at Quay".</summary>
    public required string DisplayName { get; init; }
    public required long ReportIntervalMs { get; init; }
    public long? LastReadingMs { get; init; }

    /// <summary>The first pour of those pieces: from here a sensor that never reported is missed.</summary>
    public required long CuringSinceMs { get; init; }
}

/// <summary>Says when a sensor goes silent while pieces cure where it watches, once a silence, and when it is back.</summary>
public sealed class SilentSensors(StudioReads reads, StudioWriter writer, TimeProvider clock)
    : ConditionSweep(reads, writer, clock)
{
    protected override ReminderChanges Look(StudioSession session, long nowMs)
    {
        var live = ReminderStore.LiveEpisodes(session, Reminder.Types.Kind.SensorSilent);
        var told = live.ToDictionary(reminder => reminder.Subject, reminder => reminder.RemindMs);
        var seen = ConditionStore.WatchingSensors(session)
            .Select(sensor => Judge(sensor, told.TryGetValue(sensor.Name, out var ms) ? ms : null, nowMs));
        return Episodes.Decide(
            Reminder.Types.Kind.SensorSilent, [.. seen], live,
            "Earlier 'sensor silent' withdrawn: no piece cures there any more.", nowMs);
    }

    /// <summary>A silence that began after the last one was told is another.</summary>
    public static Episode Judge(WatchingSensor sensor, long? toldMs, long nowMs)
    {
        var sinceMs = sensor.LastReadingMs ?? sensor.CuringSinceMs;
        var isSilent = BenchClimateNow.IsSilent(sinceMs, sensor.ReportIntervalMs, Instants.FromUnixMs(nowMs));
        var zone = TimeZoneInfo.FindSystemTimeZoneById(sensor.TimeZone);
        return new Episode(
            sensor.Studio, sensor.Site, sensor.Name,
            isSilent && !(sensor.LastReadingMs > toldMs) ? EpisodeState.On : EpisodeState.Off,
            ReminderTexts.SensorSilent(sensor.DisplayName, sensor.LastReadingMs, zone),
            ReminderTexts.SensorBack(sensor.DisplayName, sensor.LastReadingMs, zone));
    }
}
