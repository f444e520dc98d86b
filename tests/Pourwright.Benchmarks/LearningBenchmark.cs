using System.Diagnostics;
using System.Globalization;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Tests.Learning;

namespace Pourwright.Benchmarks;

/// <summary>Whether what learns from checks may be trusted: coverage of its intervals, and how soon an odd lot is noted.</summary>
/// <remarks>
/// The bars are for many studios: an interval of 90 % holds the truth in 88 to 92 % of castings. The value is judged as it
/// stands; with few studios it may read short by chance alone, and the standard error printed above says by how much.
/// </remarks>
internal static class LearningBenchmark
{
    private const int StudiosByDefault = 80;
    private const int LotsByDefault = 8;
    private const int PiecesWatched = 16;
    private static readonly int Draws = new LearningPrior().Draws;

    public static int Run(string[] options)
    {
        var started = Stopwatch.GetTimestamp();
        var notes = new StudyNotes(Option.TextOf(options, "--notes"));
        var castings = Castings(notes, Option.Of(options, "--studios", StudiosByDefault));
        Took(started);
        var lots = Lots(notes, Option.Of(options, "--lots", LotsByDefault));
        Took(started);
        Console.WriteLine();
        return Judge(castings) & Judge(lots) ? 0 : 1;
    }

    private static StudioOutcome Castings(StudyNotes notes, int studios)
    {
        var sum = notes.Many("castings", studios, seed => LearningStudy.Studio(seed, 4, Draws)).Aggregate((a, b) => a + b);
        Console.WriteLine($"{studios} invented studios of four castings each, drawn from the prior, seeds 1 to {studios}.");
        Report("gel, after its checks", sum.Gel);
        Report("demold, before its own checks", sum.DemoldBefore);
        Report("demold, after its checks", sum.Demold);
        Report("handle, after its checks", sum.Handle);
        var (before, after) = (sum.WidthBefore / sum.Demold.Pieces, sum.Width / sum.Demold.Pieces);
        Console.WriteLine(Invariant($"Late over early time of demold: {Math.Exp(before):0.00} before, {Math.Exp(after):0.00} after."));
        return sum;
    }

    private static LotOutcome[] Lots(StudyNotes notes, int lots)
    {
        var outcomes = notes.Many("lots", lots, seed => LearningStudy.Lot(seed, PiecesWatched, Draws));
        Console.WriteLine($"{lots} lots 25 % slow and {lots} good ones, {PiecesWatched} pieces of each, after twelve of three others.");
        Console.WriteLine($"Slow ones noted after: {Pieces(outcomes.Select(o => o.SlowAfter))}");
        Console.WriteLine($"Good ones noted after: {Pieces(outcomes.Select(o => o.GoodAfter))}");
        Console.WriteLine(Invariant($"Nine slow ones of ten noted after {After(outcomes, 0.9)} pieces, half after {After(outcomes, 0.5)}."));
        return outcomes;
    }

    private static bool Judge(StudioOutcome sum) =>
        Share("coverage_5_95_demold", sum.Demold.Inside, sum.Demold.Pieces, 0.88, 0.92)
        & Share("late_proof_safe_demold", sum.Demold.NotLate, sum.Demold.Pieces, 0.94, 1)
        & Share("coverage_5_95_demold_unseen", sum.DemoldBefore.Inside, sum.DemoldBefore.Pieces, 0.88, 0.92)
        & Share("late_proof_safe_demold_unseen", sum.DemoldBefore.NotLate, sum.DemoldBefore.Pieces, 0.94, 1);

    private static bool Judge(LotOutcome[] lots)
    {
        var median = After(lots, 0.5);
        return Judge("slow_lot_noted_after_pieces_median", median, "8", median <= 8)
            & Share($"slow_lot_noted_within_{PiecesWatched}_pieces_share", lots.Count(lot => lot.SlowAfter is not null), lots.Length, 0.90, 1)
            & Share("good_lot_noted_share", lots.Count(lot => lot.GoodAfter is not null), lots.Length, 0, 0.10);
    }

    // Pieces after which this share of the slow lots had been noted; infinite where it never was.
    private static double After(LotOutcome[] lots, double share) => lots
        .Select(lot => lot.SlowAfter ?? double.PositiveInfinity).Order().ElementAt((int)Math.Ceiling(share * lots.Length) - 1);

    // Castings of a studio share its resin, so they are worth somewhat fewer than their number.
    private static void Report(string what, Coverage coverage) => Console.WriteLine(Invariant(
        $"{what}: inside 5 to 95 % {coverage.InsideShare:0.000} +- {Math.Sqrt(0.09 / coverage.Pieces):0.000}, not later {coverage.NotLateShare:0.000}, of {coverage.Pieces}"));

    private static void Took(long started) => Console.WriteLine(Invariant(
        $"{Stopwatch.GetElapsedTime(started).TotalSeconds:0} s so far on {Environment.ProcessorCount} cores."));

    private static string Pieces(IEnumerable<int?> pieces) =>
        string.Join(' ', pieces.Select(n => n?.ToString(CultureInfo.InvariantCulture) ?? "-"));

    private static bool Share(string name, int count, int of, double low, double high)
    {
        double share = (double)count / of, bar = high < 1 && low == 0 ? high : low;
        var bars = low > 0 && high < 1 ? Invariant($"{low:0.00}-{high:0.00}") : Invariant($"{bar:0.00}");
        return Judge(name, share, bars, share >= low && share <= high);
    }

    private static bool Judge(string name, double value, string bar, bool ok)
    {
        Console.WriteLine(Invariant($"{name} {value:0.000} {bar} {(ok ? "ok" : "short")}"));
        return ok;
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
