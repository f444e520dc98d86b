using Pourwright.Cure.Advice;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Resins;

namespace Pourwright.Studio.Suspects;

/// <summary>The room of a piece from its first pour until somebody looked, as far as it is on record.</summary>
/// <param name="LookMs">When somebody looked, Unix ms.</param>
/// <param name="Climate">As recorded; gaps are left out.</param>
/// <param name="IsKnown">Enough of it is on record to say what the lowest was, and to compute a cure.</param>
/// <param name="Ambient">Air in h from the first pour; empty where it is not known.</param>
public sealed record RecordedRoom(long LookMs, ClimateSpan Climate, bool IsKnown, IReadOnlyList<AmbientPoint> Ambient)
{
    /// <summary>Share of the time that must have readings. Our choice, no source.</summary>
    private const double CoveredShare = 0.75;

    private const double HourMs = 3_600_000;

    public double LookHours => (LookMs - Climate.FromMs) / HourMs;

    public static RecordedRoom Of(PieceHistory history, long lookMs, RecordedAir air, double? minCureCelsius)
    {
        var stays = Stays(history, lookMs);
        var intervalMs = stays.Max(stay => air.IntervalMs(stay.Bench));
        var aroundMs = ClimateSpans.IntervalsToGap * intervalMs;
        ReadingRecord[] readings = [.. stays.SelectMany((stay, i) => air.Between(
            stay.Bench, i == 0 ? stay.FromMs - aroundMs : stay.FromMs, i == stays.Count - 1 ? stay.ToMs + aroundMs : stay.ToMs - 1))];
        var climate = ClimateSpans.Over(readings, history.FirstPourMs, lookMs, intervalMs, minCureCelsius);
        var isKnown = climate.CoveredMs >= CoveredShare * (lookMs - history.FirstPourMs);
        return new(lookMs, climate, isKnown, isKnown ? Courses(stays, air, aroundMs) : []);
    }

    /// <summary>Air at a time, in h from the first pour, in °C.</summary>
    public double CelsiusAt(double atHours) => new RoomCourse(Ambient, "", null, 0, []).CelsiusAt(atHours);

    private static List<(string Bench, long FromMs, long ToMs)> Stays(PieceHistory history, long lookMs)
    {
        var benches = BenchStay.Benches(history.Pours.Select(pour => (pour.Bench, pour.PourMs))
            .Concat(history.Steps.Where(step => step.Bench is not null && step.StepMs >= history.FirstPourMs).Select(step => (step.Bench!, step.StepMs)))
            .Where(seen => seen.Item2 < lookMs));
        return [.. benches.Select((at, i) => (at.Bench, at.FromMs, i + 1 < benches.Count ? benches[i + 1].FromMs : lookMs))];
    }

    // Between two rooms the air changes over a minute, not at once: two points never share an instant.
    private static List<AmbientPoint> Courses(List<(string Bench, long FromMs, long ToMs)> stays, RecordedAir air, long aroundMs)
    {
        var pourMs = stays[0].FromMs;
        AirPoint[] points =
        [
            .. stays.SelectMany((stay, i) =>
            {
                var toMs = i == stays.Count - 1 ? stay.ToMs : Math.Max(stay.FromMs, stay.ToMs - RoomForecast.CarryMs);
                return AirCurve.Of(air.Between(stay.Bench, stay.FromMs - aroundMs, stay.ToMs + aroundMs)) is { } curve
                    ? curve.Between(stay.FromMs, toMs).Select(point => new AirPoint(point.Ms, point.Celsius, 0))
                    : [];
            }).DistinctBy(point => point.Ms).OrderBy(point => point.Ms),
        ];
        return [.. AirLines.Straightened(points).Select(point => new AmbientPoint(
            (point.Ms - pourMs) / HourMs, Math.Clamp(point.Celsius, RoomForecast.ColdestCelsius, RoomForecast.WarmestCelsius), 0))];
    }
}

/// <summary>The question to the engine what a piece was like when somebody looked, were its lot a good one.</summary>
/// <param name="Piece">By name.</param>
/// <param name="Case">Its layers in the room as recorded, as far as the look.</param>
/// <param name="LookHours">In h from the first pour.</param>
/// <param name="WorkCelsius">The room where it is felt: that of the look, and no colder than one where people work.</param>
/// <param name="RateLnSd">What sheet, lot, site and pour leave open of the rate, in ln.</param>
public sealed record RecordedCure(string Piece, PieceCase Case, double LookHours, double WorkCelsius, double RateLnSd)
{
    /// <summary>One in ten of good pours is slower, one in ten quicker: 1.2816 standard deviations of a normal distribution.</summary>
    private const double TenthDeviations = 1.2816;

    /// <summary>A casting hotter than this is taken to be too hot, in °C.</summary>
    public static double PeakLimitCelsius { get; } = new PourLimits().PeakCelsius;

    public Departure Slow => Departure.None with { RateFactor = Math.Exp(-TenthDeviations * RateLnSd) };

    public Departure Fast => Departure.None with { RateFactor = Math.Exp(TenthDeviations * RateLnSd) };

    /// <summary>Null where too little of the room is on record.</summary>
    /// <remarks>By the data sheet alone, not by what checks taught: these may come from the very lot that is suspected.</remarks>
    public static RecordedCure? Of(PieceHistory history, RecordedRoom room, RecordedAir air, Func<string, (ResinCureModel Model, double RateLnSd)> resins)
    {
        if (!room.IsKnown) return null;
        PourRow[] pours = [.. history.Pours.Where(pour => pour.PourMs < room.LookMs)];
        double Hours(PourRow pour) => (pour.PourMs - history.FirstPourMs) / 3_600_000.0;
        var piece = new PieceCase
        {
            Layers = [.. pours.Select(pour => new PouredLayer(Hours(pour), pour.DepthMm, pour.ResinTemperatureCelsius ?? room.CelsiusAt(Hours(pour)), resins(pour.ResinSystem).Model))],
            Ambient = room.Ambient,
            BoardThicknessMm = CureTerms.BoardMm(air.BoardThicknessMm(pours[^1].Bench)),
            ChannelWidthMm = history.Piece.ChannelWidthMm,
            WorkCelsius = CureTerms.WorkCelsius,
            // The engine looks an hour or more beyond a pour.
            HorizonHours = Math.Max(room.LookHours, Hours(pours[^1]) + 1),
        };
        return new(history.Piece.Name, piece, room.LookHours, Math.Max(CureTerms.WorkCelsius, room.CelsiusAt(room.LookHours)),
            pours.Max(pour => CureTerms.Spread(resins(pour.ResinSystem).RateLnSd).RateLnSd));
    }
}
