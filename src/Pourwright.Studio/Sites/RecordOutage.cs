using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>Puts a site, a station or a bench out of use for a time.</summary>
public static class RecordOutage
{
    /// <summary>A year and its leap day: who closes for longer closes for good.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromDays(366);

    /// <summary>Checks the shape of a request.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void Check(CreateOutageRequest request)
    {
        var outage = request.Outage ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Site)
            .NewId("outage_id", request.OutageId)
            .Text("outage.reason", outage.Reason, 200)
            .Time("outage.start_time", outage.StartTime)
            .Time("outage.end_time", outage.EndTime);
        if (outage.Station.Length > 0) checks.Name("outage.station", outage.Station, ResourceKind.Station, request.Parent);
        if (outage.Bench.Length > 0) checks.Name("outage.bench", outage.Bench, ResourceKind.Bench, request.Parent);
        checks.Require(outage.Station.Length == 0 || outage.Bench.Length == 0, "outage.bench",
            "must be empty beside a station: an outage is of one thing. Record two.", outage.Bench);
        checks.ThrowIfAny();
        CheckSpan(outage);
    }

    /// <summary>The row of a request that passed <see cref="Check"/>.</summary>
    public static OutageRecord Decide(string name, string site, Outage outage) => new()
    {
        Name = name,
        Site = site,
        Station = outage.Station.Length > 0 ? outage.Station : null,
        Bench = outage.Bench.Length > 0 ? outage.Bench : null,
        StartMs = outage.StartTime.ToUnixMs(),
        EndMs = outage.EndTime.ToUnixMs(),
        Reason = outage.Reason,
    };

    private static void CheckSpan(Outage outage)
    {
        var span = outage.EndTime.ToDateTimeOffset() - outage.StartTime.ToDateTimeOffset();
        new FieldChecks()
            .Require(span >= TimeSpan.FromMilliseconds(1) && span <= Longest, "outage.end_time",
                $"must be after {outage.StartTime}, by at most {Longest.TotalDays} days.", $"{outage.EndTime}")
            .ThrowIfAny();
    }
}
