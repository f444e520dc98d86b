using Pourwright.Planning.MachineDay;
using Pourwright.Studio.Sites;
using Kind = Pourwright.V1.Station.Types.Kind;

namespace Pourwright.Studio.Needs;

/// <summary>What a site has for a machine day: places, the stages left out for want of them, and what is down.</summary>
/// <param name="Stations">Places a stage; one where there is none, which nothing uses then.</param>
/// <param name="Minutes">Of each piece; 0 at a stage without places.</param>
/// <param name="Down">What to say of it, a sentence each.</param>
public sealed record RunStations(SecondDayStations Stations, SecondDayMinutes Minutes, IReadOnlyList<string> Down)
{
    /// <summary>What a site names counts; what it does not name it is taken to have, as most have it.</summary>
    /// <param name="stations">Of the site.</param>
    /// <param name="outages">That overlap the day, of the site.</param>
    /// <param name="minutes">Of each piece where everything runs.</param>
    public static RunStations Of(IReadOnlyList<StationRecord> stations, IReadOnlyList<OutageRecord> outages, SecondDayMinutes minutes)
    {
        var down = outages.Where(outage => outage.Station is not null).ToLookup(outage => outage.Station!);
        int? Places(Kind kind) => stations.Any(station => station.Kind == kind)
            ? stations.Where(station => station.Kind == kind && !down.Contains(station.Name)).Sum(station => station.Places)
            : null;
        var (usual, sanding) = (new SecondDayStations(), Places(Kind.Sanding));
        var have = new SecondDayStations
        {
            Demold = Places(Kind.Demolding) ?? usual.Demold,
            Planers = Places(Kind.Planer) ?? usual.Planers,
            Saws = Places(Kind.Saw) ?? usual.Saws,
            CoarseSand = sanding ?? usual.CoarseSand,
            // Where sanding places are counted, coarse and fine share them.
            FineSand = sanding is null ? usual.FineSand : null,
            FirstCoat = Places(Kind.Finishing) ?? usual.FirstCoat,
        };
        return new(have, Possible(minutes, have), [.. Sentences(stations, down, outages)]);
    }

    private static SecondDayMinutes Possible(SecondDayMinutes minutes, SecondDayStations have) => minutes with
    {
        // Moulds come off on any table.
        Demold = have.Demold > 0 ? minutes.Demold : 0,
        Planer = have.Planers > 0 ? minutes.Planer : 0,
        Saw = have.Saws > 0 ? minutes.Saw : 0,
        CoarseSand = have.CoarseSand > 0 ? minutes.CoarseSand : 0,
        FineSand = have.CoarseSand > 0 ? minutes.FineSand : 0,
        FirstCoat = have.CoarseSand > 0 && have.FirstCoat > 0 ? minutes.FirstCoat : 0,
    };

    private static IEnumerable<string> Sentences(
        IReadOnlyList<StationRecord> stations, ILookup<string, OutageRecord> down, IReadOnlyList<OutageRecord> outages) =>
    [
        .. outages.Where(outage => outage.IsOfWholeSite).Select(outage => $"The site is closed on that day: {outage.Reason}."),
        .. stations.Where(station => down.Contains(station.Name)).Select(station => $"{station.DisplayName} is down: {down[station.Name].First().Reason}."),
    ];
}
