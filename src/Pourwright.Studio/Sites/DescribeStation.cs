using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Kind = Pourwright.V1.Station.Types.Kind;

namespace Pourwright.Studio.Sites;

/// <summary>What a station may say of itself, and what it means where it says nothing.</summary>
public static class DescribeStation
{
    /// <summary>A machine day without set-up and clean-up: common practice, no source.</summary>
    private const int MinutesADayDefault = 6 * 60;

    private static readonly string[] Changeable = ["display_name", "kind", "place_count", "daily_duration"];

    /// <summary>The row of a station as described.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static StationRecord Decide(string name, string site, Station station, string etag)
    {
        Check(station);
        return new()
        {
            Name = name,
            Site = site,
            DisplayName = station.DisplayName,
            Kind = station.Kind,
            Places = station.HasPlaceCount ? station.PlaceCount : 1,
            MinutesADay = WholeMinutes.Of(station.DailyDuration) ?? MinutesADayDefault,
            Etag = etag,
        };
    }

    /// <summary>The station after an update.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the station was changed meanwhile.</exception>
    public static Station Merge(Station current, Station change, FieldMask? mask) => UpdateMask.Merge(current, change, mask, Changeable);

    private static void Check(Station station)
    {
        var checks = new FieldChecks()
            .Text("station.display_name", station.DisplayName, 80)
            .Require(station.Kind is >= Kind.Planer and <= Kind.Finishing, "station.kind",
                "must be KIND_PLANER, KIND_SAW, KIND_SANDING, KIND_DEMOLDING or KIND_FINISHING.", $"{station.Kind}")
            .Minutes("station.daily_duration", station.DailyDuration, 0, 24 * 60);
        if (station.HasPlaceCount) checks.Within("station.place_count", station.PlaceCount, 1, 100, "places");
        checks.ThrowIfAny();
    }
}
