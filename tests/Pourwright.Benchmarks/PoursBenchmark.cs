using System.Diagnostics;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Benchmarks;

/// <summary>Castings drawn from the whole range of the models: the small run is a test, the large one is this.</summary>
internal static class PoursBenchmark
{
    private const int ByDefault = 10_000;

    public static int Run(string[] options)
    {
        var (count, started) = (Option.Of(options, "--count", ByDefault), Stopwatch.GetTimestamp());
        var pours = ParallelEnumerable.Range(1, count).AsOrdered().Select(RandomPour.Solved).ToArray();
        var (seconds, cores) = (Stopwatch.GetElapsedTime(started).TotalSeconds, Environment.ProcessorCount);
        Figure.Print($"{count} castings, seeds 1 to {count}, {seconds:0} s on {cores} cores.");
        Figure.Print($"Peaks, °C: median {Peak(pours, 0.5):0}, one of ten above {Peak(pours, 0.9):0}, greatest {Peak(pours, 1):0}.");
        foreach (var pour in pours.Where(p => p.Faults.Count > 0).Take(20))
            Console.WriteLine(pour);
        var (worst, longest) = (pours.MaxBy(p => p.Imbalance)!.Seed, pours.MaxBy(p => p.Steps)!.Seed);
        Figure.Print($"Worst balance of heat: seed {worst}; most steps: seed {longest}.");
        return Figure.Report(
            Figure.AtMost("random_pours_with_a_fault", pours.Count(p => p.Faults.Count > 0), 0),
            Figure.AtMost("random_pours_heat_unaccounted_permille", pours.Max(p => p.Imbalance) * 1000, RandomPour.MostImbalance * 1000),
            Figure.AtMost("random_pours_most_steps", pours.Max(p => p.Steps), RandomPour.MostSteps));
    }

    private static double Peak(RandomPour[] pours, double share) =>
        pours.Select(p => p.PeakCelsius).Order().ElementAt((int)Math.Ceiling(share * pours.Length) - 1);
}
