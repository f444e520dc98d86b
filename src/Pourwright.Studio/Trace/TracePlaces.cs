using Pourwright.Studio.Names;

namespace Pourwright.Studio.Trace;

/// <summary>What people call the places of a studio, and what time it is there.</summary>
/// <param name="Studio">What people call the studio.</param>
/// <param name="Sites">Display name and zone by resource name.</param>
/// <param name="Benches">Display name by resource name.</param>
/// <param name="ResinSystems">Display name by resource name.</param>
public sealed record TracePlaces(
    string Studio,
    IReadOnlyDictionary<string, (string DisplayName, TimeZoneInfo Zone)> Sites,
    IReadOnlyDictionary<string, string> Benches,
    IReadOnlyDictionary<string, string> ResinSystems)
{
    public string Site(string name) => Sites.TryGetValue(name, out var site) ? site.DisplayName : ResourceNames.IdOf(name);

    public TimeZoneInfo Zone(string site) => Sites.TryGetValue(site, out var known) ? known.Zone : TimeZoneInfo.Utc;

    public string Bench(string name) => Benches.GetValueOrDefault(name) ?? ResourceNames.IdOf(name);

    public string ResinSystem(string name) => ResinSystems.GetValueOrDefault(name) ?? ResourceNames.IdOf(name);
}
