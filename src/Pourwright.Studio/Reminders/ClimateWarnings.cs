using Pourwright.Cure.Climate;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>The newest reading of one sensor at a bench where pieces cure; humidity was measured.</summary>
public sealed record BenchClimate
{
    public required string Bench { get; init; }
    public required string Site { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }

    /// <summary>The site's margin over the dew point, °C.</summary>
    public required double DewPointMarginCelsius { get; init; }
    public required long ReportIntervalMs { get; init; }
    public long? ReadingMs { get; init; }
    public double TemperatureCelsius { get; init; }
    public double? RelativeHumidityPercent { get; init; }
    public double? SurfaceTemperatureCelsius { get; init; }

    /// <summary>The surface, or the air where the surface is not measured, °C.</summary>
    public double CoolestCelsius => SurfaceTemperatureCelsius ?? TemperatureCelsius;
}

/// <summary>Warns where a surface comes close to the dew point while pieces cure: damp clouds and blushes a fresh surface.</summary>
public sealed class ClimateWarnings(StudioReads reads, StudioWriter writer, TimeProvider clock, ReminderSettings settings)
    : ConditionSweep(reads, writer, clock)
{
    /// <summary>The driest air the dew point formula covers, %; drier air is farther from damp still.</summary>
    private const double DriestPercent = 1;

    protected override ReminderChanges Look(StudioSession session, long nowMs)
    {
        var seen = ConditionStore.BenchClimates(session).GroupBy(climate => climate.Bench)
            .Select(sensors => Judge([.. sensors], settings, nowMs));
        return Episodes.Decide(
            Reminder.Types.Kind.ClimateWarning, [.. seen], ReminderStore.Live(session, Reminder.Types.Kind.ClimateWarning),
            "Earlier climate warning withdrawn: no piece cures there any more.", nowMs);
    }

    /// <summary>By the sensor closest to the dew point. On below the margin, off above margin and hysteresis; in doubt between, or without a fresh reading of humidity.</summary>
    public static Episode Judge(IReadOnlyList<BenchClimate> sensors, ReminderSettings settings, long nowMs)
    {
        var fresh = sensors.Where(s => s.RelativeHumidityPercent is not null
            && nowMs - s.ReadingMs <= settings.SilentAfterIntervals * s.ReportIntervalMs);
        var worst = fresh.MinBy(s => s.CoolestCelsius - DewPointCelsius(s));
        if (worst is null) return Of(sensors[0], EpisodeState.InDoubt, "");
        var dewPointCelsius = DewPointCelsius(worst);
        var text = ReminderTexts.Damp(
            worst.DisplayName, worst.SurfaceTemperatureCelsius is not null, worst.CoolestCelsius, dewPointCelsius, worst.DewPointMarginCelsius);
        return Of(worst, StateAt(worst.CoolestCelsius - dewPointCelsius - worst.DewPointMarginCelsius, settings), text);
    }

    private static EpisodeState StateAt(double overMarginCelsius, ReminderSettings settings) =>
        overMarginCelsius < 0 ? EpisodeState.On
        : overMarginCelsius > settings.ClimateHysteresisCelsius ? EpisodeState.Off
        : EpisodeState.InDoubt;

    private static double DewPointCelsius(BenchClimate climate) =>
        AirMoisture.DewPointCelsius(climate.TemperatureCelsius, Math.Max(DriestPercent, climate.RelativeHumidityPercent!.Value));

    private static Episode Of(BenchClimate climate, EpisodeState state, string text) =>
        new(climate.Studio, climate.Site, climate.Bench, state, text, ReminderTexts.DryAgain(climate.DisplayName));
}
