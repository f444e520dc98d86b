using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A bench where pieces cure, and the newest reading of one sensor that watches it; null where it has none.</summary>
public sealed record WatchedBench(string Name, string Site, string Studio, string DisplayName, double DewPointMarginCelsius)
{
    public long ReportIntervalMs { get; init; }

    public ReadingRecord? Reading { get; init; }
}

/// <summary>Warns where a surface comes close to the dew point while pieces cure: damp clouds and blushes a fresh surface.</summary>
public sealed class ClimateWarnings(StudioReads reads, StudioWriter writer, TimeProvider clock, ReminderOptions options)
    : ConditionSweep(reads, writer, clock)
{
    protected override ReminderChanges Look(StudioSession session, long nowMs)
    {
        var seen = ConditionStore.WatchedBenches(session).GroupBy(bench => bench.Name)
            .Select(sensors => Judge([.. sensors], options, nowMs));
        return Episodes.Decide(
            Reminder.Types.Kind.ClimateWarning, [.. seen], ReminderStore.LiveEpisodes(session, Reminder.Types.Kind.ClimateWarning),
            "Earlier climate warning withdrawn: no piece cures there any more.", nowMs);
    }

    /// <summary>By the sensor closest to the dew point: on below the margin, off above margin and hysteresis.</summary>
    /// <remarks>In doubt between the two, and without a fresh reading of humidity: a gap neither warns nor calms.</remarks>
    public static Episode Judge(IReadOnlyList<WatchedBench> sensors, ReminderOptions options, long nowMs)
    {
        var now = Instants.FromUnixMs(nowMs);
        var worst = sensors
            .Where(s => s.Reading is { } reading && !BenchClimateNow.IsSilent(reading.ReadingMs, s.ReportIntervalMs, now))
            .MinBy(s => DewPointMargin.Kelvin(s.Reading!) ?? double.PositiveInfinity);
        return worst?.Reading is { } reading && DewPointMargin.Kelvin(reading) is { } marginKelvin
            ? Of(
                worst, StateAt(marginKelvin - worst.DewPointMarginCelsius, options),
                ReminderTexts.Damp(worst.DisplayName, reading, worst.DewPointMarginCelsius))
            : Of(sensors[0], EpisodeState.InDoubt, "");
    }

    private static EpisodeState StateAt(double overMarginKelvin, ReminderOptions options) =>
        overMarginKelvin < 0 ? EpisodeState.On
        : overMarginKelvin > options.ClimateHysteresisCelsius ? EpisodeState.Off
        : EpisodeState.InDoubt;

    private static Episode Of(WatchedBench bench, EpisodeState state, string text) =>
        new(bench.Studio, bench.Site, bench.Name, state, text, ReminderTexts.DryAgain(bench.DisplayName));
}
