using System.Diagnostics;
using System.Globalization;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Tests.Learning;

namespace Pourwright.Benchmarks;

/// <summary>Whether what learns from checks may be trusted: coverage of its intervals, and how soon an odd lot is noted.</summary>
/// <remarks>
/// The bars are ours. An interval of 90 % holds the truth in 88 to 92 % of many castings; with few studios chance alone misses
/// that, so the run says how far chance reaches.
/// </remarks>
internal static class LearningBenchmark
{
    private const int StudiosByDefault = 60;
    private const int LotsByDefault = 5;
    private const int PiecesWatched = 16;
    private static readonly int Draws = new LearningPrior().Draws;

    public static int Run(string[] options)
    {
        var started = Stopwatch.GetTimestamp();
        var castings = Castings(Option(options, "--studios", StudiosByDefault));
        Took(started);
        var lots = Lots(Option(options, "--lots", LotsByDefault));
        Took(started);
        Console.WriteLine();
        return Judge(castings) & Judge(lots) ? 0 : 1;
    }

    private static StudioOutcome Castings(int studios)
    {
        var sum = Many(studios, seed => LearningStudy.Studio(seed, 4, Draws)).Aggregate((a, b) => a + b);
        Console.WriteLine($"{studios} invented studios of four castings each, drawn from the prior, seeds 1 to {studios}.");
        Report("gel, after its checks", sum.Gel);
        Report("demold, before its own checks", sum.DemoldBefore);
        Report("demold, after its checks", sum.Demold);
        Report("handle, after its checks", sum.Handle);
        var (before, after) = (sum.WidthBefore / sum.Demold.Pieces, sum.Width / sum.Demold.Pieces);
        Console.WriteLine(Invariant($"Late over early time of demold: {Math.Exp(before):0.00} before, {Math.Exp(after):0.00} after."));
        return sum;
    }

    private static LotOutcome[] Lots(int lots)
    {
        var outcomes = Many(lots, seed => LearningStudy.Lot(seed, PiecesWatched, Draws));
        Console.WriteLine($"{lots} lots 25 % slow and {lots} as they should be, {PiecesWatched} pieces of each, after twelve of three others.");
        Console.WriteLine($"Slow ones noted after: {Pieces(outcomes.Select(o => o.SlowAfter))}");
        Console.WriteLine($"Good ones noted after: {Pieces(outcomes.Select(o => o.GoodAfter))}");
        return outcomes;
    }

    private static bool Judge(StudioOutcome sum) =>
        Between("coverage_5_95_demold", sum.Demold.InsideShare, 0.88, 0.92)
        & AtLeast("late_proof_safe_demold", sum.Demold.NotLateShare, 0.94)
        & Between("coverage_5_95_demold_unseen", sum.DemoldBefore.InsideShare, 0.88, 0.92)
        & AtLeast("late_proof_safe_demold_unseen", sum.DemoldBefore.NotLateShare, 0.94);

    private static bool Judge(LotOutcome[] lots)
    {
        double[] slow = [.. lots.Select(lot => lot.SlowAfter ?? double.PositiveInfinity).Order()];
        double After(double share) => slow[(int)Math.Ceiling(share * slow.Length) - 1];
        return AtMost("slow_lot_noted_after_pieces_median", After(0.5), 8)
            & AtMost("slow_lot_noted_after_pieces_90_percent", After(0.9), PiecesWatched)
            & AtMost("good_lot_noted_share", lots.Count(lot => lot.GoodAfter is not null) / (double)lots.Length, 0.10);
    }

    private static T[] Many<T>(int count, Func<int, T> one) =>
        [.. ParallelEnumerable.Range(1, count).AsOrdered().WithMergeOptions(ParallelMergeOptions.FullyBuffered).Select(one)];

    // Castings of a studio share its resin, so they are worth somewhat fewer than their number.
    private static void Report(string what, Coverage coverage) => Console.WriteLine(Invariant(
        $"{what}: inside 5 to 95 % {coverage.InsideShare:0.000} +- {Math.Sqrt(0.09 / coverage.Pieces):0.000}, not later {coverage.NotLateShare:0.000}, of {coverage.Pieces}"));

    private static void Took(long started) => Console.WriteLine(Invariant(
        $"{Stopwatch.GetElapsedTime(started).TotalSeconds:0} s so far on {Environment.ProcessorCount} cores."));

    private static string Pieces(IEnumerable<int?> pieces) =>
        string.Join(' ', pieces.Select(n => n?.ToString(CultureInfo.InvariantCulture) ?? "-"));

    private static int Option(string[] options, string name, int otherwise) =>
        Array.IndexOf(options, name) is var at and >= 0 && at + 1 < options.Length
            ? Math.Max(1, int.Parse(options[at + 1], CultureInfo.InvariantCulture))
            : otherwise;

    private static bool Between(string name, double value, double low, double high) =>
        Judge(name, value, Invariant($"{low:0.00}-{high:0.00}"), value >= low && value <= high);

    private static bool AtLeast(string name, double value, double bar) => Judge(name, value, Invariant($"{bar:0.00}"), value >= bar);

    private static bool AtMost(string name, double value, double bar) => Judge(name, value, Invariant($"{bar:0.00}"), value <= bar);

    private static bool Judge(string name, double value, string bar, bool ok)
    {
        Console.WriteLine(Invariant($"{name} {value:0.000} {bar} {(ok ? "ok" : "short")}"));
        return ok;
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
