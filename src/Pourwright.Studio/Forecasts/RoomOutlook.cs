using System.Globalization;
using Pourwright.Cure.Climate;
using Pourwright.Studio.Climate;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;

namespace Pourwright.Studio.Forecasts;

/// <summary>What is said of a bench's air to come, and how its room follows: with a lag that its own readings tell, else a usual one.</summary>
internal sealed class RoomOutlook
{
    private const long HourMs = 3_600_000;
    private const long DayMs = 24 * HourMs;

    /// <summary>A thermostat stays as it was last set, over a long weekend; after that nobody can tell. Our choice, no source.</summary>
    private const long LastSetPointMs = 3 * DayMs;

    /// <summary>An offset less than this, in K, is not worth a word. Our choice.</summary>
    private const double WorthAWordKelvin = 0.5;

    private readonly IReadOnlyList<OutlookPoint> _points;
    private readonly AirDrive _drive;
    private readonly RoomLag _lag;

    private RoomOutlook(bool isHeating, IReadOnlyList<OutlookPoint> points, AirCurve? curve, double? plannedCelsius, long fromMs)
    {
        (IsHeating, _points) = (isHeating, points);
        var hours = points.Select(point => (Hours(point.AtMs), point.TemperatureCelsius)).ToList();
        _drive = isHeating ? AirDrive.Held(hours) : new(hours);
        var fit = curve is null ? null : RoomLagFit.Of(Past(curve), _drive);
        _lag = fit?.Lag ?? new(RoomLag.UnknownTauHours, IsHeating ? 0 : Balance(curve, plannedCelsius, fromMs));
        IsFitted = fit is not null;
        Words = $"{(IsHeating ? "The heating schedule" : "The outdoor forecast")}{OffsetWords()}, with {LagWords(fit, curve)}.";
    }

    public bool IsHeating { get; }

    /// <summary>The readings had a say in it.</summary>
    public bool IsFitted { get; }

    public long FromMs => _points[0].AtMs;

    public long ToMs => EndMs(_points, IsHeating);

    public string Words { get; }

    /// <summary>As a rule, to be tried on the past.</summary>
    public RoomRule Rule => new((curve, fromMs) => ms => Celsius(curve.At(fromMs), fromMs, ms), FromMs, Words);

    /// <summary>What is said of a bench for a time after <paramref name="fromMs"/> and before <paramref name="horizonMs"/>; null where nothing is.</summary>
    public static RoomOutlook? Of(BenchStay here, AirCurve? curve, long fromMs, long horizonMs)
    {
        if (here.Outlook is not { Kind: Kind.Heating or Kind.Outdoor } said) return null;
        var (points, isHeating) = (said.ReadPoints(), said.Kind == Kind.Heating);
        return EndMs(points, isHeating) > fromMs && points[0].AtMs < horizonMs
            ? new(isHeating, points, curve, here.PlannedCelsius, fromMs)
            : null;
    }

    /// <summary>What the room follows at an instant, with its offset: where it would come to rest, in °C.</summary>
    public double RestCelsius(long ms) => _drive.Celsius(Hours(ms)) + _lag.OffsetKelvin;

    /// <summary>Air from one instant to another, hour by hour and at every point.</summary>
    public IEnumerable<(long Ms, double Celsius)> Air(double fromCelsius, long fromMs, long toMs)
    {
        var (celsius, atMs) = (fromCelsius, fromMs);
        foreach (var ms in RoomRules.Hourly(fromMs, toMs).Concat(_points.Select(point => point.AtMs)).Append(toMs)
            .Where(ms => ms >= fromMs && ms <= toMs).Distinct().Order())
        {
            celsius = Celsius(celsius, atMs, ms);
            atMs = ms;
            yield return (ms, celsius);
        }
    }

    private static long EndMs(IReadOnlyList<OutlookPoint> points, bool isHeating) => points[^1].AtMs + (isHeating ? LastSetPointMs : 0);

    private double Celsius(double fromCelsius, long fromMs, long ms) => _lag.Celsius(_drive, fromCelsius, Hours(fromMs), Hours(ms));

    private double Hours(double ms) => (ms - FromMs) / HourMs;

    private (double, double)[] Past(AirCurve curve) =>
        [.. curve.HourlyMeans(FromMs, ToMs).Select(mean => (Hours(mean.Ms), mean.Celsius))];

    /// <summary>The offset of a room that cannot tell it: the room's last day stands above the first day of the forecast.</summary>
    private double Balance(AirCurve? curve, double? plannedCelsius, long fromMs)
    {
        var beginMs = Math.Max(fromMs, FromMs);
        var ahead = RoomRules.Hourly(beginMs, beginMs + DayMs).Where(ms => ms <= Math.Max(ToMs, beginMs)).Average(ms => _drive.Celsius(Hours(ms)));
        var room = curve is null ? plannedCelsius ?? ahead : RoomRules.Hourly(curve.LastMs - DayMs, curve.LastMs - HourMs).Average(curve.At);
        return room - ahead;
    }

    private string OffsetWords() => Math.Abs(_lag.OffsetKelvin) < WorthAWordKelvin
        ? ""
        : $" {(_lag.OffsetKelvin > 0 ? "plus" : "less")} {Spoken.Kelvin(Math.Abs(_lag.OffsetKelvin))}";

    private string LagWords(RoomLagFit? fit, AirCurve? curve)
    {
        if (fit is not { TellsTau: true }) return $"an assumed room lag of {RoomLag.UnknownTauHours} h";
        var past = Past(curve!);
        var hours = past[^1].Item1 - past[0].Item1;
        var span = hours < 48 ? $"{hours:0} hours" : $"{hours / 24:0} days";
        return string.Create(CultureInfo.InvariantCulture, $"a room lag of {_lag.TauHours:0.#} h fitted to the last {span}");
    }
}
