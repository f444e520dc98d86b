using Pourwright.Planning.Season;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Kind = Pourwright.V1.Station.Types.Kind;

namespace Pourwright.Studio.Plans;

/// <summary>The days of a site: its half days as instants, and what it has on each.</summary>
/// <remarks>
/// A closure that touches the teaching hours of a day closes the whole day: nobody drives out for half a class. A station that is
/// out for part of a day has the rest of its minutes; one place to sand less is less for the whole day, as is a bench.
/// </remarks>
public sealed class SiteDays
{
    private const int MinutesMs = 60_000;

    private readonly SeasonFacts _facts;
    private readonly SiteRecord _site;
    private readonly DateOnly _firstDay;

    public SiteDays(SeasonFacts facts, SiteRecord site, DateOnly firstDay, int days)
    {
        (_facts, _site, _firstDay) = (facts, site, firstDay);
        StartMs = [.. Enumerable.Range(0, 2 * days).Select(slot => Instant(slot / 2, StartMinute(slot)))];
        EndMs = [.. Enumerable.Range(0, 2 * days).Select(slot => Instant(slot / 2, slot % 2 == 0 ? site.MorningEndMinute : site.AfternoonEndMinute))];
        Days = [.. Enumerable.Range(0, days).Select(Day)];
    }

    /// <summary>Start of each half day, Unix ms: hours between two of them are elapsed ones, over clock changes too.</summary>
    public IReadOnlyList<long> StartMs { get; }

    public IReadOnlyList<long> EndMs { get; }

    public IReadOnlyList<SiteDay> Days { get; }

    /// <summary>Minute of the local day at which a half day begins.</summary>
    public int StartMinute(int slot) => slot % 2 == 0 ? _site.MorningStartMinute : _site.AfternoonStartMinute;

    /// <summary>Places of a bench on a day: none while it is out of use.</summary>
    public int Places(BenchRecord bench, int day) =>
        _facts.Outages.Any(outage => outage.Bench == bench.Name && outage.StartMs < EndMs[2 * day + 1] && outage.EndMs > StartMs[2 * day]) ? 0 : bench.Places;

    private long Instant(int day, int minute) => LocalTimes.Resolve(_site.TimeZone, _firstDay.AddDays(day), minute, Fold.Earlier).UtcMs;

    private SiteDay Day(int day)
    {
        var isOpen = Weekdays.Set(_site.OpeningDays).Contains(_firstDay.AddDays(day).DayOfWeek)
            && !_facts.Outages.Any(outage => outage.Site == _site.Name && outage.IsOfWholeSite && Share(outage, day) > 0);
        return new(
            isOpen,
            _facts.Benches.Where(bench => bench.Bench.Site == _site.Name).Sum(bench => Places(bench.Bench, day)),
            Minutes(Kind.Planer, day),
            Minutes(Kind.Saw, day),
            Stations(Kind.Sanding).Where(station => Out(station, day) == 0).Sum(station => station.Places));
    }

    private int Minutes(Kind kind, int day) =>
        Stations(kind).Sum(station => (int)(station.Places * station.MinutesADay * (1 - Out(station, day))));

    private IEnumerable<StationRecord> Stations(Kind kind) => _facts.Stations.Where(station => station.Site == _site.Name && station.Kind == kind);

    private double Out(StationRecord station, int day) =>
        Math.Min(1, _facts.Outages.Where(outage => outage.Station == station.Name).Sum(outage => Share(outage, day)));

    // Of the teaching day, from the first start to the last end.
    private double Share(OutageRecord outage, int day)
    {
        var (from, to) = (StartMs[2 * day], EndMs[2 * day + 1]);
        var overlap = Math.Min(outage.EndMs, to) - Math.Max(outage.StartMs, from);
        return overlap < MinutesMs ? 0 : (double)overlap / (to - from);
    }
}
