using System.Globalization;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;

namespace Pourwright.Studio.Plans;

/// <summary>Air that is expected warmer or colder than everything else says, for a time; Unix ms, end exclusive.</summary>
public sealed record AirOffset(string Site, double Kelvin, long FromMs, long ToMs);

/// <summary>Air after a pour, in h from it; two are the same where they say the same.</summary>
public sealed record AirCourse(string Content, IReadOnlyList<AmbientPoint> Ambient)
{
    public bool Equals(AirCourse? other) => other?.Content == Content;

    public override int GetHashCode() => Content.GetHashCode(StringComparison.Ordinal);
}

/// <summary>The air of a bench over a season.</summary>
/// <remarks>
/// What a forecast would take of its readings and of what is said of its heating or weather, for a week or as far as that reaches;
/// then the temperature that it is meant to be held at: last night's cold says little of a class in two months. A bench without a
/// planned temperature goes on level at the mean of its last day, in the doubt of a room that nobody holds.
/// </remarks>
public sealed class SeasonAir
{
    /// <summary>So long the last readings say more than a plan. Common practice, no source.</summary>
    public static readonly TimeSpan ReadingsTellFor = TimeSpan.FromDays(7);

    private const long HourMs = 3_600_000;

    /// <summary>A day repeats to the minute; what differs less than this, in h, K and K, is the same to a plan.</summary>
    private const double SameHours = 0.05, SameCelsius = 0.1, SameKelvin = 0.1;

    /// <summary>Air that the engine takes, in °C.</summary>
    private const double ColdestCelsius = -10, WarmestCelsius = 50;

    private readonly AirPoint[] _points;

    private SeasonAir(AirPoint[] points) => _points = points;

    /// <summary>From now on; the last point holds on.</summary>
    /// <param name="stay">The bench from now on, with its readings, its planned temperature and its outlook.</param>
    /// <param name="untilMs">The end of the last cure.</param>
    /// <param name="offsets">Of its site, in any order.</param>
    public static SeasonAir Of(BenchStay stay, long untilMs, IReadOnlyList<AirOffset> offsets)
    {
        var nowMs = stay.FromMs;
        var foretold = RoomForecast.Course([stay], nowMs, Math.Max(untilMs, nowMs + HourMs)).Ambient
            .Select(point => new AirPoint(nowMs + (long)(point.AtHours * HourMs), point.TemperatureCelsius, point.Doubt * CureSpread.Default.AmbientOffsetSdKelvin));
        return new([.. Offset(AsPlanned(stay, nowMs, [.. foretold]), offsets)]);
    }

    /// <summary>Air from an instant on for as long as a forecast looks.</summary>
    public AirCourse From(long ms)
    {
        var endMs = ms + (long)(CureTerms.HorizonHours * HourMs);
        AirPoint[] window = [At(ms), .. _points.Where(point => point.Ms > ms && point.Ms < endMs), At(endMs)];
        AmbientPoint[] ambient = [.. AirLines.Straightened(window).Select(point => Rounded(point, ms)).DistinctBy(point => point.AtHours)];
        if (ambient.All(point => point with { AtHours = 0 } == ambient[0])) ambient = [ambient[0]];
        return new(string.Join(' ', ambient.Select(Written)), ambient);
    }

    private static AmbientPoint Rounded(AirPoint point, long fromMs) => new(
        SameHours * Math.Round((double)(point.Ms - fromMs) / HourMs / SameHours),
        SameCelsius * Math.Round(point.Celsius / SameCelsius),
        SameKelvin * Math.Round(point.SdKelvin / SameKelvin) / CureSpread.Default.AmbientOffsetSdKelvin);

    private static string Written(AmbientPoint point) =>
        string.Create(CultureInfo.InvariantCulture, $"{point.AtHours:0.00}:{point.TemperatureCelsius:0.0}±{point.Doubt:0.0}");

    private static AirPoint[] AsPlanned(BenchStay stay, long nowMs, AirPoint[] foretold)
    {
        if (stay.Readings.Count == 0 && stay.Outlook is null) return foretold;
        var saidMs = stay.Outlook?.ReadPoints() is [.., var last] ? last.AtMs : nowMs;
        var untilMs = Math.Max(nowMs + (long)ReadingsTellFor.TotalMilliseconds, saidMs);
        return [.. foretold.Where(point => point.Ms < untilMs), AfterThat(stay, new(foretold), untilMs + HourMs)];
    }

    private static AirPoint AfterThat(BenchStay stay, SeasonAir foretold, long ms) => stay.PlannedCelsius is { } planned
        ? new(ms, planned, RoomDoubt.PlannedKelvin)
        : new(ms, Enumerable.Range(1, 24).Average(hour => foretold.At(ms - hour * HourMs).Celsius), foretold.At(ms).SdKelvin);

    // A room follows over an hour: a step would cost the engine a stop in every draw.
    private static IEnumerable<AirPoint> Offset(AirPoint[] points, IReadOnlyList<AirOffset> offsets)
    {
        if (offsets.Count == 0) return points;
        var air = new SeasonAir(points);
        double Kelvin(long ms) => offsets.Sum(offset => offset.Kelvin * Share(offset, ms));
        return points.Select(point => point.Ms)
            .Concat(offsets.SelectMany(offset => new[] { offset.FromMs, offset.FromMs + HourMs, offset.ToMs, offset.ToMs + HourMs }))
            .Where(ms => ms >= points[0].Ms).Distinct().Order()
            .Select(ms => air.At(ms) with { Celsius = Math.Clamp(air.At(ms).Celsius + Kelvin(ms), ColdestCelsius, WarmestCelsius) });
    }

    private static double Share(AirOffset offset, long ms) => Math.Min(
        Math.Clamp((double)(ms - offset.FromMs) / HourMs, 0, 1), Math.Clamp((double)(offset.ToMs + HourMs - ms) / HourMs, 0, 1));

    private AirPoint At(long ms)
    {
        var next = Array.FindIndex(_points, point => point.Ms >= ms);
        if (next <= 0) return (next == 0 ? _points[0] : _points[^1]) with { Ms = ms };
        var (a, b) = (_points[next - 1], _points[next]);
        var share = (double)(ms - a.Ms) / (b.Ms - a.Ms);
        return new(ms, a.Celsius + share * (b.Celsius - a.Celsius), a.SdKelvin + share * (b.SdKelvin - a.SdKelvin));
    }
}
