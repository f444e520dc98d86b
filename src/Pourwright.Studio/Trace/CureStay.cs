using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>A stretch of a piece's cure on one bench, in Unix ms; end exclusive.</summary>
public sealed record CureStay(string Bench, long FromMs, long ToMs)
{
    /// <summary>The benches of a cure: from the first pour to the demold, or to now, moved by steps and by pours elsewhere.</summary>
    public static IReadOnlyList<CureStay> Of(IReadOnlyList<Pour> pours, IReadOnlyList<Step> steps, DateTimeOffset now)
    {
        if (pours.Count == 0) return [];
        var endMs = CureEndMs(pours, steps, now);
        (long Ms, string Bench)[] arrivals =
        [
            .. pours.Select(pour => (pour.PourTime.ToUnixMs(), pour.Bench))
                .Concat(steps.Where(step => step.Kind == Step.Types.Kind.Move).Select(step => (step.StepTime.ToUnixMs(), step.Bench)))
                .Where(arrival => arrival.Item1 >= pours[0].PourTime.ToUnixMs() && arrival.Item1 < endMs)
                .OrderBy(arrival => arrival.Item1),
        ];
        return [.. arrivals.Select((arrival, index) =>
            new CureStay(arrival.Bench, arrival.Ms, index + 1 < arrivals.Length ? arrivals[index + 1].Ms : endMs))];
    }

    private static long CureEndMs(IReadOnlyList<Pour> pours, IReadOnlyList<Step> steps, DateTimeOffset now)
    {
        var demold = steps.FirstOrDefault(step => step.Kind == Step.Types.Kind.Demold)?.StepTime.ToUnixMs();
        return Math.Max(demold ?? now.ToUnixMs(), pours[0].PourTime.ToUnixMs());
    }
}
