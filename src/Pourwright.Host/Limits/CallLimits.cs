using System.Globalization;
using System.Threading.RateLimiting;
using Grpc.Core;
using Pourwright.Studio.Refusals;

namespace Pourwright.Host.Limits;

/// <summary>Who has how many calls, open streams and plans. Each node counts its own.</summary>
internal sealed class CallLimits(NodeLimits limits) : IDisposable
{
    /// <summary>Before somebody looks again whether a stream or a plan has ended. Common practice, no source.</summary>
    private static readonly TimeSpan LookAgain = TimeSpan.FromSeconds(5);

    private static readonly string[] Planning = ["/pourwright.v1.PlanService/PlanSeason", "/pourwright.v1.PlanService/Replan"];

    private readonly PartitionedRateLimiter<Asker> _calls = PartitionedRateLimiter.Create<Asker, Asker>(asker => asker.HasKey
        ? Bucket(asker, limits.CallsPerSecond, limits.CallBurst)
        : Bucket(asker, limits.AnonymousCallsPerSecond, limits.AnonymousCallBurst));

    private readonly PartitionedRateLimiter<Asker> _streams = PartitionedRateLimiter.Create<Asker, Asker>(asker =>
        RateLimitPartition.GetConcurrencyLimiter(asker, _ => new() { PermitLimit = limits.OpenStreams }));

    private readonly ConcurrencyLimiter _plans = new(new() { PermitLimit = limits.PlansAtOnce, QueueLimit = limits.PlansWaiting });

    /// <summary>Counts a call.</summary>
    /// <exception cref="Refusal">CALLS_TOO_MANY.</exception>
    public void Count(Asker asker)
    {
        using var call = _calls.AttemptAcquire(asker);
        if (!call.IsAcquired) throw CallsTooMany(asker, call.TryGetMetadata(MetadataName.RetryAfter, out var after) ? after : LookAgain);
    }

    /// <summary>What a call takes for as long as it runs; nothing where it does not stream. A plan waits here for its turn.</summary>
    /// <exception cref="Refusal">STREAMS_TOO_MANY, PLANNER_BUSY.</exception>
    public async ValueTask<IDisposable?> TakeAsync(Asker asker, IMethod method, CancellationToken ct)
    {
        if (method.Type == MethodType.Unary) return null;
        var isPlan = Planning.Contains(method.FullName);
        var share = isPlan ? await _plans.AcquireAsync(1, ct) : _streams.AttemptAcquire(asker);
        if (share.IsAcquired) return share;
        share.Dispose();
        throw isPlan ? PlannerBusy() : StreamsTooMany();
    }

    public void Dispose()
    {
        _calls.Dispose();
        _streams.Dispose();
        _plans.Dispose();
    }

    private static RateLimitPartition<Asker> Bucket(Asker asker, int perSecond, int burst) => perSecond == 0
        ? RateLimitPartition.GetNoLimiter(asker)
        : RateLimitPartition.GetTokenBucketLimiter(asker, _ => new()
        {
            TokenLimit = burst, TokensPerPeriod = perSecond, ReplenishmentPeriod = TimeSpan.FromSeconds(1),
        });

    private Refusal CallsTooMany(Asker asker, TimeSpan after)
    {
        var perSecond = asker.HasKey ? limits.CallsPerSecond : limits.AnonymousCallsPerSecond;
        var who = asker.HasKey ? "This key" : "This address, without a good key,";
        return Refusal.TooMany(
            Reasons.CallsTooMany, $"{who} has made more than {perSecond} calls a second for a while. Wait as RetryInfo says, then call more slowly.", after,
            ("calls_per_second", Text(perSecond)));
    }

    private Refusal StreamsTooMany() => Refusal.TooMany(
        Reasons.StreamsTooMany, $"This key has {limits.OpenStreams} streams open, the most it may. End one of them, or share one among screens.", LookAgain,
        ("open_streams", Text(limits.OpenStreams)));

    private Refusal PlannerBusy() => Refusal.TooMany(
        Reasons.PlannerBusy, $"{limits.PlansAtOnce} plans are being made and {limits.PlansWaiting} wait, the most this node takes. Ask again when one is done, or another node.", LookAgain,
        ("plans_at_once", Text(limits.PlansAtOnce)), ("plans_waiting", Text(limits.PlansWaiting)));

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
