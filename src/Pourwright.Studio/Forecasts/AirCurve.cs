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

    /// <summary>The curve between two instants, both included.</summary>
    public IEnumerable<(long Ms, double Celsius)> Between(long fromMs, long toMs)
    {
        yield return (fromMs, At(fromMs));
        for (var i = 0; i < _ms.Length; i++)
            if (_ms[i] > fromMs && _ms[i] < toMs) yield return (_ms[i], _celsius[i]);
        if (toMs > fromMs) yield return (toMs, At(toMs));
    }
}
