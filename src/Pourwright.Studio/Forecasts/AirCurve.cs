using Pourwright.Studio.Climate;

namespace Pourwright.Studio.Forecasts;

/// <summary>Air over time as read: straight lines between readings, level before the first and after the last. Unix ms and °C.</summary>
/// <remarks>Readings of several sensors at one instant count with their mean.</remarks>
internal sealed class AirCurve
{
    private readonly long[] _ms;
    private readonly double[] _celsius;

    private AirCurve((long Ms, double Celsius)[] points) =>
        (_ms, _celsius) = ([.. points.Select(p => p.Ms)], [.. points.Select(p => p.Celsius)]);

    public long FirstMs => _ms[0];

    public long LastMs => _ms[^1];

    public double LastCelsius => _celsius[^1];

    /// <summary>The curve of readings in the order of their times; null where there is none.</summary>
    public static AirCurve? Of(IReadOnlyList<ReadingRecord> readings) => readings.Count == 0 ? null : new(
        [.. readings.GroupBy(r => r.ReadingMs).Select(at => (at.Key, at.Average(r => r.TemperatureCelsius)))]);

    public double At(long ms)
    {
        var next = Array.BinarySearch(_ms, ms);
        if (next >= 0) return _celsius[next];
        next = ~next;
        if (next == 0) return _celsius[0];
        if (next == _ms.Length) return LastCelsius;
        var share = (double)(ms - _ms[next - 1]) / (_ms[next] - _ms[next - 1]);
        return _celsius[next - 1] + share * (_celsius[next] - _celsius[next - 1]);
    }

    /// <summary>How long the reading before an instant is ago and the next is to come, in ms; null where there is none, 0 and 0 at a reading.</summary>
    public (long? SinceMs, long? UntilMs) Neighbours(long ms)
    {
        var next = Array.BinarySearch(_ms, ms);
        if (next >= 0) return (0, 0);
        next = ~next;
        return (next == 0 ? null : ms - _ms[next - 1], next == _ms.Length ? null : _ms[next] - ms);
    }

    /// <summary>Means of the readings of each hour between two instants, both included, at the mean of their times: noise of a logger is less in them.</summary>
    public IReadOnlyList<(double Ms, double Celsius)> HourlyMeans(long fromMs, long toMs) =>
    [
        .. Enumerable.Range(0, _ms.Length).Where(i => _ms[i] >= fromMs && _ms[i] <= toMs).GroupBy(i => _ms[i] / 3_600_000)
            .Select(hour => (hour.Average(i => (double)_ms[i]), hour.Average(i => _celsius[i]))),
    ];

    /// <summary>The curve between two instants, both included.</summary>
    public IEnumerable<(long Ms, double Celsius)> Between(long fromMs, long toMs)
    {
        yield return (fromMs, At(fromMs));
        for (var i = 0; i < _ms.Length; i++)
            if (_ms[i] > fromMs && _ms[i] < toMs) yield return (_ms[i], _celsius[i]);
        if (toMs > fromMs) yield return (toMs, At(toMs));
    }
}
