namespace Pourwright.Studio.Climate;

/// <summary>Sums up readings over a stretch of time. What was not read is not known: a gap is reported and left out, never filled.</summary>
public static class ClimateSpans
{
    /// <summary>Neighbours further apart than this many report intervals leave a gap between them. Common practice, no source.</summary>
    public const int IntervalsToGap = 3;

    /// <summary>The climate from <paramref name="fromMs"/>, inclusive, to <paramref name="toMs"/>, exclusive; times in Unix ms.</summary>
    /// <remarks>
    /// Readings are joined by straight lines, except across gaps; means and durations are those of the lines. Readings outside the
    /// stretch may be given: they carry the lines and gaps up to its ends, and count for nothing else. Where readings of several
    /// sensors are given, they are one series.
    /// </remarks>
    /// <param name="readings">In the order of their times.</param>
    /// <param name="intervalMs">How often the sensor reports.</param>
    /// <param name="minTemperatureCelsius">Below this the resin is too cold to cure; null: not asked.</param>
    public static ClimateSpan Over(
        IReadOnlyList<ReadingRecord> readings, long fromMs, long toMs, long intervalMs, double? minTemperatureCelsius = null)
    {
        ReadingRecord[] inside = [.. readings.Where(r => r.ReadingMs >= fromMs && r.ReadingMs < toMs)];
        Line[] lines = [.. Lines(readings, fromMs, toMs, IntervalsToGap * intervalMs)];
        return new ClimateSpan
        {
            FromMs = fromMs,
            ToMs = toMs,
            ReadingCount = inside.Length,
            MinTemperatureCelsius = inside.Min(r => (double?)r.TemperatureCelsius),
            MaxTemperatureCelsius = inside.Max(r => (double?)r.TemperatureCelsius),
            MeanTemperatureCelsius = Mean(lines) ?? inside.Average(r => (double?)r.TemperatureCelsius),
            MaxRelativeHumidityPercent = inside.Max(r => r.RelativeHumidityPercent),
            MinDewPointMarginCelsius = inside.Min(DewPointMargin.Kelvin),
            BelowMinimumMs = minTemperatureCelsius is { } least ? (long)lines.Sum(line => line.MsBelow(least)) : 0,
            Gaps = [.. Gaps(readings, fromMs, toMs, IntervalsToGap * intervalMs)],
        };
    }

    private static IEnumerable<Line> Lines(IReadOnlyList<ReadingRecord> readings, long fromMs, long toMs, long gapMs) =>
        from pair in readings.Zip(readings.Skip(1))
        where pair.Second.ReadingMs - pair.First.ReadingMs <= gapMs
        let line = new Line(pair.First, pair.Second).Within(fromMs, toMs)
        where line.WidthMs > 0
        select line;

    private static IEnumerable<ClimateGap> Gaps(IReadOnlyList<ReadingRecord> readings, long fromMs, long toMs, long gapMs)
    {
        long[] times = [.. WithEnds([.. readings.Select(r => r.ReadingMs)], fromMs, toMs)];
        return times.Zip(times.Skip(1))
            .Where(pair => pair.Second - pair.First > gapMs)
            .Select(pair => new ClimateGap(Math.Max(pair.First, fromMs), Math.Min(pair.Second, toMs)))
            .Where(gap => gap.DurationMs > 0);
    }

    /// <summary>Where no reading reaches past an end of the stretch, the end itself is the neighbour.</summary>
    private static IEnumerable<long> WithEnds(long[] times, long fromMs, long toMs)
    {
        if (times.Length == 0 || times[0] > fromMs) yield return fromMs;
        foreach (var time in times) yield return time;
        if (times.Length == 0 || times[^1] < toMs) yield return toMs;
    }

    private static double? Mean(IReadOnlyList<Line> lines) => lines.Count == 0
        ? null
        : lines.Sum(line => line.MeanCelsius * line.WidthMs) / lines.Sum(line => line.WidthMs);

    /// <summary>A straight line between two neighbouring readings, in ms and °C.</summary>
    private readonly record struct Line(double FromMs, double FromCelsius, double ToMs, double ToCelsius)
    {
        public Line(ReadingRecord from, ReadingRecord to)
            : this(from.ReadingMs, from.TemperatureCelsius, to.ReadingMs, to.TemperatureCelsius) { }

        public double WidthMs => ToMs - FromMs;

        public double MeanCelsius => (FromCelsius + ToCelsius) / 2;

        public Line Within(double fromMs, double toMs)
        {
            var (start, end) = (Math.Max(FromMs, fromMs), Math.Min(ToMs, toMs));
            return end > start ? new Line(start, At(start), end, At(end)) : default;
        }

        /// <summary>The line crosses the limit at most once: the part below is (limit − low) / (high − low) of its width.</summary>
        public double MsBelow(double celsius)
        {
            var (low, high) = (Math.Min(FromCelsius, ToCelsius), Math.Max(FromCelsius, ToCelsius));
            if (high == low) return low < celsius ? WidthMs : 0;
            return WidthMs * Math.Clamp((celsius - low) / (high - low), 0, 1);
        }

        private double At(double ms) => FromCelsius + (ToCelsius - FromCelsius) * (ms - FromMs) / (ToMs - FromMs);
    }
}
