using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>What a bench may say of itself, and what it means where it says nothing.</summary>
public static class DescribeBench
{
    /// <summary>A class of eight: common practice, no source.</summary>
    public const int PlacesDefault = 8;

    /// <summary>Not the planned temperature and not the board: the forecasts of the pieces that lie there stand on them.</summary>
    private static readonly string[] Changeable = ["display_name", "place_count"];

    /// <summary>The row of a bench as described.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static BenchRecord Decide(string name, string site, Bench bench, string etag)
    {
        Check(bench);
        return new()
        {
            Name = name,
            Site = site,
            DisplayName = bench.DisplayName,
            PlannedTemperatureCelsius = bench.HasPlannedTemperatureCelsius ? bench.PlannedTemperatureCelsius : null,
            BoardThicknessMm = bench.HasBoardThicknessMm ? bench.BoardThicknessMm : DescribeSite.BoardThicknessMmDefault,
            Places = bench.HasPlaceCount ? bench.PlaceCount : PlacesDefault,
            Etag = etag,
        };
    }

    /// <summary>The bench after an update. Sent back as it was read, it may also name what cannot change.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for what cannot change, ETAG_STALE where the bench was changed meanwhile.</exception>
    public static Bench Merge(Bench current, Bench change, FieldMask? mask)
    {
        new FieldChecks()
            .Require(mask is not null || !change.HasPlannedTemperatureCelsius || Same(change.PlannedTemperatureCelsius, current.PlannedTemperatureCelsius),
                "bench.planned_temperature_celsius", "cannot change: forecasts stand on it. Set an outlook of the bench.", $"{change.PlannedTemperatureCelsius}")
            .Require(mask is not null || !change.HasBoardThicknessMm || Same(change.BoardThicknessMm, current.BoardThicknessMm),
                "bench.board_thickness_mm", "cannot change: forecasts stand on it. Create another bench.", $"{change.BoardThicknessMm}")
            .ThrowIfAny();
        return UpdateMask.Merge(current, change, mask, Changeable);
    }

    private static bool Same(double a, double b) => a.Equals(b);

    private static void Check(Bench bench)
    {
        var checks = new FieldChecks().Text("bench.display_name", bench.DisplayName, 80);
        if (bench.HasPlannedTemperatureCelsius) checks.Celsius("bench.planned_temperature_celsius", bench.PlannedTemperatureCelsius, 0, 45);
        if (bench.HasBoardThicknessMm) checks.Within("bench.board_thickness_mm", bench.BoardThicknessMm, 0, 100, "mm");
        if (bench.HasPlaceCount) checks.Within("bench.place_count", bench.PlaceCount, 0, 200, "pieces");
        checks.ThrowIfAny();
    }
}
