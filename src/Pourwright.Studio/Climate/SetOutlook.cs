using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;

namespace Pourwright.Studio.Climate;

/// <summary>What may be said of the air to come at a bench.</summary>
public static class SetOutlook
{
    /// <summary>Hourly for three weeks: longer than any piece is forecast. Our choice.</summary>
    public const int PointsMax = 500;

    /// <summary>Checks the shape of a request.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(V1.SetBenchOutlookRequest request)
    {
        var checks = new FieldChecks()
            .Name("name", request.Name, ResourceKind.Bench)
            .Require(request.Kind is Kind.Outdoor or Kind.Heating or Kind.None, "kind", "must be OUTDOOR, HEATING or NONE.", $"{request.Kind}");
        var (least, most) = request.Kind == Kind.None ? (0, 0) : (1, PointsMax);
        checks.Require(
            request.Points.Count >= least && request.Points.Count <= most, "points",
            request.Kind == Kind.None ? "must be empty with kind NONE." : $"must be 1 to {PointsMax}.", $"{request.Points.Count}");
        for (var i = 0; i < Math.Min(request.Points.Count, most); i++) CheckPoint(checks, request, i);
        checks.ThrowIfAny();
    }

    /// <summary>The row of a request of good shape.</summary>
    public static OutlookRecord Row(V1.SetBenchOutlookRequest request, DateTimeOffset now) => new()
    {
        Bench = request.Name,
        Kind = request.Kind,
        Points = OutlookRecord.Write(request.Points.Select(point => new OutlookPoint(point.PointTime.ToUnixMs(), point.TemperatureCelsius))),
        SetMs = now.ToUnixMs(),
    };

    /// <summary>Does it say the same as before? Nothing said is the same as none.</summary>
    public static bool IsSame(OutlookRecord? before, OutlookRecord said) => before is null
        ? said.Kind == Kind.None
        : (before.Kind, before.Points) == (said.Kind, said.Points);

    private static void CheckPoint(FieldChecks checks, V1.SetBenchOutlookRequest request, int index)
    {
        var (path, point) = ($"points[{index}]", request.Points[index]);
        checks.Time($"{path}.point_time", point.PointTime);
        if (index > 0 && point.PointTime is { } time && request.Points[index - 1].PointTime is { } before)
            checks.Require(time.CompareTo(before) > 0, $"{path}.point_time", "must lie after the point before it.", $"{time}");
        var (coldest, warmest) = request.Kind == Kind.Heating ? (0, 45) : (-40, 60);
        checks.Celsius($"{path}.temperature_celsius", point.TemperatureCelsius, coldest, warmest);
    }
}
