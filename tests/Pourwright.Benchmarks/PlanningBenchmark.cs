using System.Diagnostics;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;
using Pourwright.Planning.Tests.Generated;

namespace Pourwright.Benchmarks;

/// <summary>Seasons of 10, 150 and 1,000 classes, and one class that must move; the bars are ours, for two idle cores.</summary>
/// <remarks>
/// <c>--short</c> is for a busy machine: fewer seeds and less work, times are told and fail no run; wrong plans and missing
/// proofs do. <c>--only small|middle|large</c> runs one size, <c>--only words</c> what is said of plans.
/// </remarks>
internal static class PlanningBenchmark
{
    private const double ProvedSeconds = 2;
    private const double MiddleSeconds = 90;
    private const double LargeSeconds = 300;
    private const double MovedMs = 500;
    private const double GapBar = 0.05;
    private const double CancelledAt = 0.98;

    private static int faults;

    public static int Run(string[] options)
    {
        var brief = options.Contains("--short");
        var only = Array.IndexOf(options, "--only") is var at and >= 0 ? options[at + 1] : "";
        List<Figure> figures = [];
        if (only is "" or "small") figures.AddRange(Small(Option.Of(options, "--seeds", brief ? 4 : 20), brief));
        if (only is "" or "middle") figures.AddRange(Middle(Option.Of(options, "--seeds", brief ? 1 : 10), brief));
        if (only is "large" || only is "" && !brief) figures.AddRange(Large());
        if (only is "" or "words") figures.AddRange(ExplainingBenchmark.Measure(brief));
        return Figure.Report([.. figures, Figure.AtMost("planning_rules_broken", faults, 0)]);
    }

    private static IEnumerable<Figure> Small(int seeds, bool brief)
    {
        Figure.Print($"10 classes, 1 site, 4 weeks, {seeds} seeds:");
        Timed(SyntheticSeason.Make(1, 4, 10, 1), new(), ProvedSeconds); // to warm up
        var solved = Enumerable.Range(1, seeds).Select(seed => Timed(SyntheticSeason.Make(1, 4, 10, seed), new() { Seed = seed }, LargeSeconds)).ToArray();
        return
        [
            Figure.AtLeast("planning_10_classes_proved", solved.Count(one => one.Solved.PointsProved), seeds),
            Figure.AtMost("planning_10_classes_worst_seconds", solved.Max(one => one.Seconds), ProvedSeconds).ToldIf(brief),
        ];
    }

    private static IEnumerable<Figure> Middle(int seeds, bool brief)
    {
        Figure.Print($"150 classes, 5 sites, 12 weeks, {seeds} seeds:");
        List<(double OverFirst, double OverOrders, double Gap, double Seconds)> got = [];
        List<(double Ms, double ProcessorMs)> moves = [];
        var (found, proved, wanted) = (0, 0, 0);
        for (var seed = 1; seed <= seeds; seed++)
        {
            var season = SyntheticSeason.Make(5, 12, 150, seed);
            var (first, orders) = (GreedyPlanner.FirstFit(season).Students(season), GreedyPlanner.Best(season, seed).Students(season));
            var (solved, seconds) = Timed(season, brief ? new() { Seed = seed, Coolings = 4, BoundSteps = 1000 } : new() { Seed = seed }, MiddleSeconds);
            Figure.Print($"  first fit {first}, best of 23 orders {orders}, asked for by {season.Classes.Sum(c => c.Students)}");
            got.Add(((double)solved.Students / first, (double)solved.Students / orders, solved.Gap, seconds));
            foreach (var p in solved.Plan.Placed.Take(40))
            {
                wanted++;
                if (Moved(season, solved.Plan, p.Class, moves) is not { } moved) continue;
                (found, proved) = (found + 1, proved + (moved.Proved ? 1 : 0));
            }
        }
        Figure.Print($"  another date for one class: {found} of {wanted} found, median {Median(moves.Select(m => m.Ms)):0} ms, worst {moves.Max(m => m.Ms):0} ms; of processor {Median(moves.Select(m => m.ProcessorMs)):0} ms, 99 % under {Percentile99(moves.Select(m => m.ProcessorMs)):0} ms");
        return
        [
            Figure.AtLeast("planning_150_classes_students_over_first_fit", Median(got.Select(one => one.OverFirst)), 1.25).ToldIf(brief),
            Figure.AtLeast("planning_150_classes_students_over_23_orders", Median(got.Select(one => one.OverOrders)), 1.15).ToldIf(brief),
            Figure.AtMost("planning_150_classes_gap_median", Median(got.Select(one => one.Gap)), GapBar).ToldIf(brief),
            Figure.AtMost("planning_150_classes_worst_seconds", got.Max(one => one.Seconds), MiddleSeconds).ToldIf(brief),
            Figure.AtMost("planning_moved_class_p99_ms", Percentile99(moves.Select(m => m.Ms)), MovedMs).ToldIf(brief),
            Figure.AtLeast("planning_moved_class_proved_of_found", (double)proved / Math.Max(1, found), brief ? 0.9 : 1),
        ];
    }

    private static IEnumerable<Figure> Large()
    {
        Figure.Print($"1,000 classes, 20 sites, 26 weeks:");
        var season = SyntheticSeason.Make(20, 26, 1000, 1);
        var (first, orders) = (GreedyPlanner.FirstFit(season).Students(season), GreedyPlanner.Best(season, 1).Students(season));
        var (solved, seconds) = Timed(season, new(), LargeSeconds);
        Figure.Print($"  first fit {first}, best of 23 orders {orders}, asked for by {season.Classes.Sum(c => c.Students)}");
        return
        [
            Figure.AtMost("planning_1000_classes_gap", solved.Gap, GapBar),
            Figure.AtMost("planning_1000_classes_seconds", seconds, LargeSeconds),
        ];
    }

    private static MovedClass? Moved(SeasonCase season, ClassPlan plan, int @class, List<(double Ms, double ProcessorMs)> moves)
    {
        using var process = Process.GetCurrentProcess();
        var (started, processor) = (Stopwatch.GetTimestamp(), process.TotalProcessorTime);
        var moved = MoveOneClass.Find(season, plan, @class, null, new(), CancellationToken.None);
        var ms = Stopwatch.GetElapsedTime(started).TotalMilliseconds;
        process.Refresh();
        moves.Add((ms, (process.TotalProcessorTime - processor).TotalMilliseconds));
        if (moved is null) return null;
        faults += PlanChecker.Check(season, moved.Plan).Count;
        return moved;
    }

    // Who must have an answer by a time cancels a little before it.
    private static (SolvedPlan Solved, double Seconds) Timed(SeasonCase season, PlanEffort effort, double limitSeconds)
    {
        using var process = Process.GetCurrentProcess();
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(CancelledAt * limitSeconds));
        var (started, processor) = (Stopwatch.GetTimestamp(), process.TotalProcessorTime);
        var solved = SeasonSolver.Solve(season, effort, null, limit.Token);
        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        process.Refresh();
        faults += PlanChecker.Check(season, solved.Plan).Count;
        Figure.Print($"  {solved.Plan.Placed.Count} of {season.Classes.Count} classes, {solved.Students} students of at most {solved.StudentsBound} (gap {solved.Gap:0.000}), {solved.Points} points of at least {solved.PointsBound ?? 0}, {seconds:0.0} s, {(process.TotalProcessorTime - processor).TotalSeconds:0.0} s of processor{(limit.IsCancellationRequested ? ", cut off" : "")}");
        return (solved, seconds);
    }

    private static double Percentile99(IEnumerable<double> of) => of.Order().ToArray() is var sorted ? sorted[(int)(0.99 * (sorted.Length - 1))] : 0;

    private static double Median(IEnumerable<double> of) => of.Order().ToArray() is var sorted ? (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2 : 0;
}
