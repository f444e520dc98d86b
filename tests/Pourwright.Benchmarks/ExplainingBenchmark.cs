using System.Diagnostics;
using Pourwright.Planning.Checking;
using Pourwright.Planning.CureGaps;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Replanning;
using Pourwright.Planning.Season;
using Pourwright.Planning.Tests.CureGaps;
using Pourwright.Planning.Tests.Explaining;
using Pourwright.Planning.Tests.Generated;
using Pourwright.Planning.Tests.Replanning;

namespace Pourwright.Benchmarks;

/// <summary>What is said of a plan: whether all pieces are ready, why a class has no place, how a plan is mended.</summary>
/// <remarks>
/// Times are those of the processor, so that others on the machine count little; all of this runs on one core. When brief they
/// fail no run: machines differ by more than a factor of two.
/// </remarks>
internal static class ExplainingBenchmark
{
    private const double ChanceBar = 0.003;
    private const double ExplainedMs = 250;
    private const double MendedAloneMs = 2000;
    private const double MendedSeconds = 10;

    private static readonly int[] Neighbours = [0, 12, 30];

    public static IEnumerable<Figure> Measure(bool brief) =>
        [.. Chances(), .. Minimal(brief ? 4 : 40), .. Explained(brief ? 1 : 3, brief), .. Mended(brief ? 1 : 3, brief)];

    private static IEnumerable<Figure> Chances()
    {
        Figure.Print($"Chance that all pieces are ready, formula against {DrawnPieces.Draws} draws:");
        var worst = 0.0;
        foreach (var pieces in (int[])[1, 4, 8, 16])
        {
            var scenarios = DrawnPieces.Scenarios(pieces);
            var readiness = new ClassReadiness(scenarios);
            var least = readiness.LeastHours(pieces, 0.95)!.Value;
            var (formula, drawn) = (readiness.ChanceAllReady(pieces, least), DrawnPieces.ShareAllReady(scenarios, pieces, least));
            Figure.Print($"  {pieces} pieces, {least:0.00} h: {formula:0.0000}, drawn {drawn:0.0000}");
            worst = Math.Max(worst, Math.Abs(formula - drawn));
        }
        return [Figure.AtMost("planning_all_ready_formula_against_draws", worst, ChanceBar)];
    }

    private static IEnumerable<Figure> Minimal(int seeds)
    {
        SearchReach reach = new(Days: 2, SiteMinutes: 150, Neighbours: 0);
        var (same, asked) = (0, 0);
        for (var seed = 1; seed <= seeds; seed++)
        {
            var season = SyntheticSeason.Make(2, 3, 11, seed, load: 1.4);
            var plan = GreedyPlanner.FirstFit(season);
            foreach (var c in Left(season, plan).Take(1))
            {
                var minimal = EveryPlacement.MinimalCorrections(season, plan, c, reach);
                asked++;
                if (new ClassExplainer(season, plan, reach).Explain(c).Obstacles.Select(o => o.Rules.Bits).Order().SequenceEqual(minimal.Order()))
                    same++;
            }
        }
        Figure.Print($"Smallest changes as among all placements checked one by one: {same} of {asked} classes");
        return [Figure.AtLeast("planning_explanations_minimal", same / (double)asked, 1)];
    }

    private static IEnumerable<Figure> Explained(int seeds, bool brief)
    {
        List<double> ms = [];
        var (proposals, moves, without) = (0, 0, 0);
        for (var seed = 1; seed <= seeds; seed++)
        {
            var season = SyntheticSeason.Make(5, 12, 150, seed);
            var plan = GreedyPlanner.FirstFit(season);
            var explainer = new ClassExplainer(season, plan);
            foreach (var c in Left(season, plan))
                explainer.Explain(c); // the cure of the season is asked once, not for each explanation
            foreach (var c in Left(season, plan))
            {
                var started = Processor();
                var explained = explainer.Explain(c);
                ms.Add((Processor() - started).TotalMilliseconds);
                proposals += explained.Proposals.Count;
                moves += explained.Proposals.Any(p => p.Changes.Any(change => change is Change.MoveClass)) ? 1 : 0;
                without += explained.Proposals.Count == 0 ? 1 : 0;
            }
        }
        ms.Sort();
        Figure.Print($"{ms.Count} classes without a place: median {ms[ms.Count / 2]:0} ms, worst {ms[^1]:0} ms");
        Figure.Print($"  {proposals} proposals that hold, {moves} classes for which others may move, {without} without any proposal");
        return
        [
            Figure.AtMost("planning_explained_p95_ms", ms[(int)(0.95 * (ms.Count - 1))], ExplainedMs).ToldIf(brief),
            Figure.AtMost("planning_explained_without_proposal", without, 0),
        ];
    }

    private static IEnumerable<Figure> Mended(int seeds, bool brief)
    {
        var mended = Enumerable.Range(1, seeds).SelectMany(AfterEvents).ToArray();
        double Worst(int neighbours) => mended.Where(m => m.Neighbours == neighbours).Max(m => m.Seconds);
        return
        [
            Figure.AtMost("planning_mended_rules_broken", mended.Sum(m => m.RulesBroken), 0),
            Figure.AtMost("planning_mended_alone_worst_ms", 1000 * Worst(0), MendedAloneMs).ToldIf(brief),
            Figure.AtMost("planning_mended_12_free_worst_seconds", Worst(12), MendedSeconds).ToldIf(brief),
        ];
    }

    private static IEnumerable<(int Neighbours, int RulesBroken, double Seconds)> AfterEvents(int seed)
    {
        var season = SyntheticSeason.Make(5, 12, 150, seed);
        var plan = GreedyPlanner.Best(season, seed);
        var week = plan.Placed.SelectMany(p => p.Sessions.Where(s => s.Day is >= 35 and <= 41));
        var busiest = week.GroupBy(s => s.Instructor).MaxBy(sessions => sessions.Count())!.Key;
        (string What, SeasonCase Now)[] events =
        [
            ("an instructor away for a week", season.Away(busiest, 35, 41)),
            ("ten cold days at a site, half as long again", season.Cold(0, 30, 39, 1.5)),
            ("a site closed for five days", season.Closed(1, 36, 40)),
        ];
        return events.SelectMany(e => Neighbours.Select(neighbours => AfterEvent($"seed {seed}, {e.What}", e.Now, plan, neighbours)));
    }

    private static (int Neighbours, int RulesBroken, double Seconds) AfterEvent(
        string what, SeasonCase now, ClassPlan plan, int neighbours)
    {
        ReplanTerms terms = new() { Neighbours = [neighbours], ChangesAStudent = null };
        var started = Processor();
        var mending = PlanMender.Propose(now, plan, 24 * 28, new HashSet<int>(), terms, CancellationToken.None);
        var seconds = (Processor() - started).TotalSeconds;
        Figure.Print($"  {what}: {mending.Broken.Count} broken, {mending.Stuck.Count} of them left to a person, {neighbours} others free, {seconds:0.00} s");
        foreach (var p in mending.Proposals.Where(p => p.Neighbours == neighbours || mending.Proposals.Count == 1))
            Figure.Print($"    {p.Moved.Count} moved ({p.Changes} points of change, {p.Substitutes} substitutes), {p.Cancelled.Count} given up ({p.CancelledStudents} students){(p.Proved ? ", proved" : "")}");
        return (neighbours, mending.Proposals.Sum(p => Broken(now, p, mending)), seconds);
    }

    private static int Broken(SeasonCase season, MendedPlan mended, PlanMending mending) =>
        PlanChecker.Check(season, mended.Plan).Count(fault => !fault.Classes.Any(mending.Stuck.Contains));

    private static int[] Left(SeasonCase season, ClassPlan plan) =>
        [.. Enumerable.Range(0, season.Classes.Count).Except(plan.Placed.Select(p => p.Class))];

    private static TimeSpan Processor()
    {
        using var process = Process.GetCurrentProcess();
        return process.TotalProcessorTime;
    }
}
