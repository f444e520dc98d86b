using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.V1;

namespace Pourwright.Cli.Kernel;

/// <summary>Shows instants on the wall clock of the site that they belong to.</summary>
public sealed class SiteClock
{
    private readonly Dictionary<string, TimeZoneInfo> _zones;

    /// <summary>A clock for these sites at this instant.</summary>
    public SiteClock(IEnumerable<Site> sites, DateTimeOffset now)
        : this(sites.ToDictionary(site => site.Name, site => Zone(site.TimeZone)), now)
    {
    }

    private SiteClock(Dictionary<string, TimeZoneInfo> zones, DateTimeOffset now)
    {
        _zones = zones;
        Now = now;
        Common = zones.Values.Select(zone => zone.Id).Distinct().Count() == 1 ? zones.Values.First() : null;
    }

    /// <summary>The present instant.</summary>
    public DateTimeOffset Now { get; }

    /// <summary>The zone that all sites share; nothing where they differ or there are none.</summary>
    public TimeZoneInfo? Common { get; }

    /// <summary>The same sites at another instant.</summary>
    public SiteClock AsOf(DateTimeOffset now) => new(_zones, now);

    /// <summary>The zone of a site, or of the site that a bench or sensor belongs to; else the common one.</summary>
    public TimeZoneInfo? ZoneOf(string? name) =>
        name is not null && _zones.TryGetValue(ResourceNames.SiteOf(name), out var zone) ? zone : Common;

    /// <summary>For example <c>Sun 3 May 14:30</c>; the year where it is another one, the offset where it is needed.</summary>
    public string At(Timestamp? time, string? site)
    {
        if (time is null)
            return "";
        var zone = ZoneOf(site) ?? TimeZoneInfo.Utc;
        var local = TimeZoneInfo.ConvertTime(time.ToDateTimeOffset(), zone);
        var year = local.Year == TimeZoneInfo.ConvertTime(Now, zone).Year ? "" : " yyyy";
        return local.ToString($"ddd d MMM{year} HH:mm", CultureInfo.InvariantCulture) + Offset(local, zone);
    }

    /// <summary>As <see cref="At"/>, with its distance: <c>Sun 3 May 14:30 (in 5 h 20 min)</c>.</summary>
    public string AtAndIn(Timestamp? time, string? site) => time is null ? "" : $"{At(time, site)} ({In(time)})";

    /// <summary>For example <c>in 5 h 20 min</c>, <c>3 h ago</c>, <c>now</c>.</summary>
    public string In(Timestamp time)
    {
        var distance = time.ToDateTimeOffset() - Now;
        return distance.Duration() < TimeSpan.FromMinutes(1) ? "now" : distance > TimeSpan.Zero
            ? $"in {new Span(distance)}"
            : $"{new Span(distance)} ago";
    }

    private string Offset(DateTimeOffset local, TimeZoneInfo zone) =>
        zone.Equals(TimeZoneInfo.Utc) ? " UTC"
        : Common is null || zone.IsAmbiguousTime(local) ? local.ToString(" zzz", CultureInfo.InvariantCulture)
        : "";

    private static TimeZoneInfo Zone(string id) => TimeZoneInfo.TryFindSystemTimeZoneById(id, out var zone) ? zone : TimeZoneInfo.Utc;
}
