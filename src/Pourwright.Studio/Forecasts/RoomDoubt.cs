using Pourwright.Cure.Climate;
using Pourwright.Studio.Climate;

namespace Pourwright.Studio.Forecasts;

/// <summary>How sure the air of a bench is, as a standard deviation in K: well where it was read, less in a gap, less and less ahead.</summary>
internal sealed class RoomDoubt
{
    /// <summary>Between a logger and the air at a piece: where the sensor hangs, and what it errs. Common practice, no source.</summary>
    public const double ReadKelvin = 0.4;

    /// <summary>A room meant to be held at a temperature, that nobody measures: what a logged one comes to in two days. Our choice, no source.</summary>
    public const double PlannedKelvin = 2.5;

    private const long HourMs = 3_600_000;
    private const long TriedEveryMs = 3 * HourMs;

    private readonly AirCurve? _curve;
    private readonly long _gapMs;
    private readonly AirDoubt _ahead;
    private readonly double _unreadKelvin;

    private RoomDoubt(AirCurve? curve, long gapMs, AirDoubt ahead, double unreadKelvin) =>
        (_curve, _gapMs, _ahead, _unreadKelvin) = (curve, gapMs, ahead, unreadKelvin);

    /// <summary>A bench without readings: in the same doubt throughout.</summary>
    public static RoomDoubt Unread(bool planned) => new(null, 0, AirDoubt.Default, planned ? PlannedKelvin : AirDoubt.Default.SdKelvin);

    /// <summary>A bench with readings, whose rule is tried on them: how far it was off at each lead says how far it may be.</summary>
    public static RoomDoubt Of(AirCurve curve, long intervalMs, RoomRule rule)
    {
        var gapMs = ClimateSpans.IntervalsToGap * intervalMs;
        return new(curve, gapMs, AirDoubt.Of(AirDoubt.LeadsHours.Select(lead => Tried(curve, gapMs, rule, lead))), 0);
    }

    /// <summary>Standard deviation at an instant, in K.</summary>
    public double Kelvin(long ms)
    {
        if (_curve is null) return _unreadKelvin;
        var (since, until) = _curve.Neighbours(ms);
        if (since + until <= _gapMs) return ReadKelvin;
        var unread = since is { } a && until is { } b ? _ahead.BetweenKelvin(Hours(a), Hours(b)) : _ahead.AfterKelvin(Hours(since ?? until ?? 0));
        return Math.Sqrt(ReadKelvin * ReadKelvin + unread * unread);
    }

    /// <summary>Some hours after the last reading.</summary>
    public double AheadKelvin(double hours) => _curve is null ? _unreadKelvin : Kelvin(_curve.LastMs + (long)(hours * HourMs));

    /// <summary>Instants between two at which nothing was read for long enough that the doubt bends.</summary>
    public IEnumerable<long> Bends(long fromMs, long toMs) => RoomRules.Hourly(fromMs, toMs)
        .Where(ms => ms < toMs && _curve?.Neighbours(ms) is { } near && !(near.SinceMs + near.UntilMs <= _gapMs));

    private static double Hours(long ms) => (double)ms / HourMs;

    private static LeadError Tried(AirCurve curve, long gapMs, RoomRule rule, double leadHours)
    {
        var leadMs = (long)(leadHours * HourMs);
        bool IsRead(long ms) => curve.Neighbours(ms) is var (since, until) && since + until <= gapMs;
        List<double> squares = [];
        for (var ms = Math.Max(curve.FirstMs, rule.SinceMs); ms + leadMs <= curve.LastMs; ms += TriedEveryMs)
            if (IsRead(ms) && IsRead(ms + leadMs))
                squares.Add(Math.Pow(rule.GoesOn(curve, ms)(ms + leadMs) - curve.At(ms + leadMs), 2));
        return squares.Count == 0
            ? new(leadHours, 0, 0)
            : new(leadHours, squares.Average(), squares.Count * Hours(TriedEveryMs) / Math.Max(24, leadHours));
    }
}
