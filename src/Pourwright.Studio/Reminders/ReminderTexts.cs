using System.Globalization;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>What reminders say: the thing, the time, what to do. The name of a piece's maker never stands in them.</summary>
public static class ReminderTexts
{
    private const string TouchFirst = "Test by touch first: firm and not tacky, also where it is thickest.";

    private const string KeepAway =
        "Look at it now. Keep people and all that burns away, air the room, do not bend over it or touch it; fumes and heat hurt. "
        + "The safety data sheet, local emergency rules and licensed practice decide.";

    public static string DemoldReady(string label, long safeMs, TimeZoneInfo zone) =>
        $"Piece {label}: safe to demold from {At(safeMs, zone)}. {TouchFirst} Then demold.";

    public static string HandleReady(string label, long safeMs, TimeZoneInfo zone) =>
        $"Piece {label}: safe for saw and planer from {At(safeMs, zone)}. {TouchFirst} "
        + "Dust of part-cured resin irritates and sensitises: extract it, wear a fitted mask; the safety data sheet, local code and "
        + "licensed practice decide.";

    /// <param name="advice">What would help, in whole sentences; empty where nothing is known.</param>
    public static string LateForSession(string label, long safeMs, long sessionMs, TimeZoneInfo zone, string advice) =>
        $"Piece {label}: at risk. Safe for saw and planer only from {At(safeMs, zone)}, its session is {At(sessionMs, zone)}. "
        + OrUsual(advice);

    public static string NeverHard(string label, string advice) =>
        $"Piece {label}: at risk. It will not get there without warmth: no safe time for saw and planer. "
        + OrUsual(advice);

    /// <param name="why">In whole sentences, with what to go by instead.</param>
    public static string Unforecast(string label, string why) => $"Piece {label}: at risk, for nobody knows when it is safe. {why}";

    private static string OrUsual(string advice) =>
        advice.Length > 0 ? advice : "Warm the bench within the limits of the data sheet, or move the session.";

    public static string InTime(string label, long safeMs, TimeZoneInfo zone) =>
        $"Piece {label}: earlier 'at risk' withdrawn: safe for saw and planer from {At(safeMs, zone)}, in time again. Test by touch first.";

    /// <param name="unforecast">Why there is no forecast any more, in whole sentences; empty where there is one.</param>
    public static string Slipped(Reminder.Types.Kind kind, string label, long? safeMs, TimeZoneInfo zone, string unforecast) =>
        $"Piece {label}: earlier '{Ready(kind)}' withdrawn: " + (unforecast.Length > 0
            ? $"when it is safe is not known any more. Leave it. {unforecast}"
            : safeMs is { } later
                ? $"it cures more slowly than forecast. New safe time {At(later, zone)}. Leave it until then."
                : "it will not get there without warmth. Leave it; warm the bench within the limits of the data sheet.");

    public static string Contradicted(Reminder.Types.Kind kind, string label, string reason) =>
        $"Piece {label}: earlier '{Ready(kind)}' withdrawn: {reason}. Leave it, and test by touch again before going on.";

    /// <summary>Peak in °C, the high end of its range.</summary>
    public static string Runaway(string label, double peakHighCelsius) => string.Create(CultureInfo.InvariantCulture,
        $"Piece {label}: predicted to run away, up to {peakHighCelsius:0} °C. {KeepAway}");

    public static string MayRunAway(string label) =>
        $"Piece {label}: it may run away, and how hot it gets cannot be predicted: it lies beyond what the model knows. {KeepAway}";

    public static string ContainerExpiring(
        string container, Part part, long remainingMassMg, long expireMs, long nowMs, TimeZoneInfo zone) =>
        string.Create(CultureInfo.InvariantCulture,
            $"Container {ResourceNames.IdOf(container)} ({Named(part)}, {remainingMassMg / 1e6:0.###} kg left) "
            + $"{(expireMs <= nowMs ? "expired" : "expires")} on "
            + $"{TimeZoneInfo.ConvertTime(Instants.FromUnixMs(expireMs), zone):ddd d MMM yyyy}. ")
        + (expireMs <= nowMs ? "Take it out of use." : "Use it first, or take it out of use in time.");

    public static string SensorSilent(string displayName, long? lastReadingMs, TimeZoneInfo zone) =>
        $"Sensor {displayName}: {(lastReadingMs is { } last ? $"no reading since {At(last, zone)}" : "no reading yet")}, "
        + "and pieces cure there. Look at the sensor and at the heater; the gap counts as unknown, never as fine.";

    public static string SensorBack(string displayName, long? lastReadingMs, TimeZoneInfo zone) =>
        $"Sensor {displayName}: earlier 'silent' withdrawn{(lastReadingMs is { } last ? $", last reading at {At(last, zone)}" : "")}. "
        + "The gap before stays unknown.";

    /// <summary>The margin in °C. The reading has its humidity.</summary>
    public static string Damp(string displayName, ReadingRecord reading, double marginCelsius) => string.Create(CultureInfo.InvariantCulture,
        $"Bench {displayName}: {(reading.SurfaceTemperatureCelsius is null ? "air (surface not measured)" : "surface")} "
        + $"{reading.SurfaceTemperatureCelsius ?? reading.TemperatureCelsius:0.0} °C, "
        + $"dew point {DewPointMargin.DewPointCelsius(reading):0.0} °C, less than {marginCelsius:0.#} °C apart, and pieces cure there. "
        + $"Warm the room or dry its air; do not pour or coat meanwhile.");

    public static string DryAgain(string displayName) =>
        $"Bench {displayName}: earlier climate warning over, far enough from the dew point again.";

    /// <summary>A local time with its offset: "Sat 14 Nov 10:30 (UTC+00:00)".</summary>
    public static string At(long ms, TimeZoneInfo zone) => string.Create(CultureInfo.InvariantCulture,
        $"{TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone):ddd d MMM HH:mm '(UTC'zzz')'}");

    private static string Ready(Reminder.Types.Kind kind) =>
        kind == Reminder.Types.Kind.DemoldReady ? "ready to demold" : "ready for saw and planer";

    private static string Named(Part part) => part switch
    {
        Part.A => "part A",
        Part.B => "part B",
        _ => "pigment",
    };
}
