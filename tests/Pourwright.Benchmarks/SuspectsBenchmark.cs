using System.Diagnostics;
using Pourwright.Evidence.Tests.Suspects;

namespace Pourwright.Benchmarks;

/// <summary>What the search for suspects finds, and whom it blames wrongly, in invented studios with a known truth.</summary>
/// <remarks>
/// Bars: with nothing planted anybody is blamed in at most 5 % of studios, two standard errors allowed for the runs; a lot that
/// spoils 60 % stands first among 120 pieces in 80 %, and somebody else is blamed in at most 10 %; a cure engine that is right
/// nine times of ten puts more such lots first among 30 pieces than counts alone. The other lines have no bar: they say how far
/// the method reaches. Studios and method have the same authors.
/// </remarks>
internal static class SuspectsBenchmark
{
    private const int RunsByDefault = 60;

    private static readonly int[] Sizes = [30, 60, 120, 250];

    public static int Run(string[] options)
    {
        var (runs, started) = (Option.Of(options, "--runs", RunsByDefault), Stopwatch.GetTimestamp());
        Figure.Print($"{runs} invented studios a line, seeds 1 to {runs}; shares of studios.");
        Figure[] figures = [.. Nothing(runs), .. Lots(runs), .. Evidence(runs)];
        Others(runs);
        Figure.Print($"{Stopwatch.GetElapsedTime(started).TotalSeconds:0} s on {Environment.ProcessorCount} cores.");
        return Figure.Report(figures);
    }

    private static IEnumerable<Figure> Nothing(int runs) =>
        from nuisances in (bool[])[false, true]
        from pieces in Sizes
        let outcome = Study($"nothing planted{(nuisances ? ", nuisances" : "")}", new(Planted.Nothing, 0, pieces, nuisances), runs)
        select Figure.AtMost($"nothing_planted_{pieces}{(nuisances ? "_nuisances" : "")}_any_blame_share", outcome.Share(o => o.FalseBlame), 0.05 + outcome.TwoErrorsAt(0.05));

    private static Figure[] Lots(int runs)
    {
        var bad = Sizes.ToDictionary(pieces => pieces, pieces => Study("lot of 60 %", new(Planted.Lot, 0.6, pieces, true), runs))[120];
        foreach (var pieces in Sizes)
            Study("lot of 35 %", new(Planted.Lot, 0.35, pieces, true), runs);
        return [
            Figure.AtLeast("lot_60_percent_120_first_share", bad.Share(o => o.First), 0.80),
            Figure.AtMost("lot_60_percent_120_co_blame_share", bad.Share(o => o.FalseBlame), 0.10)];
    }

    private static Figure[] Evidence(int runs)
    {
        var lots = ((double?[])[null, 0.1, 0.5, 0.7, 0.9]).Select(accuracy => Study(Engine("lot of 60 %", accuracy), new(Planted.Lot, 0.6, 30, true, accuracy), runs)).ToArray();
        var none = Study(Engine("nothing planted", 0.5), new(Planted.Nothing, 0, 30, false, 0.5), runs);
        double Gain(Func<StudyOutcome, int> of, int engine) => lots[engine].Share(of) - lots[0].Share(of);
        return [
            Figure.AtLeast("cure_engine_right_0.9_30_first_gain", Gain(o => o.First, 4), 0.01),
            Figure.AtLeast("cure_engine_right_0.9_30_called_out_gain", Gain(o => o.Hit, 4), 0.01),
            Figure.AtLeast("cure_engine_right_0.7_30_first_gain", Gain(o => o.First, 3), 0),
            Figure.AtLeast("cure_engine_a_coin_30_first_gain", Gain(o => o.First, 2), -0.02),
            Figure.AtMost("cure_engine_a_coin_nothing_planted_any_blame_share", none.Share(o => o.FalseBlame), 0.05 + none.TwoErrorsAt(0.05))];
    }

    private static void Others(int runs)
    {
        foreach (var (planted, rate) in ((Planted, double)[])[(Planted.Instructor, 0.30), (Planted.Site, 0.25), (Planted.Humidity, 0.35)])
            foreach (var pieces in Sizes[1..])
                Study(Figure.Invariant($"{planted.ToString().ToLowerInvariant()} of {100 * rate:0} %"), new(planted, rate, pieces, true), runs);
    }

    private static string Engine(string planted, double? accuracy) =>
        accuracy is { } right ? Figure.Invariant($"{planted}, engine right {right:0.0}") : $"{planted}, counts alone";

    private static StudyOutcome Study(string name, StudyCell cell, int runs)
    {
        var outcome = SuspectStudy.Of(cell, runs);
        string Share(Func<StudyOutcome, int> of) => Figure.Invariant($"{outcome.Share(of):0.000}");
        Figure.Print($"  {name}, {cell.Pieces} pieces: first {Share(o => o.First)}, in the first group {Share(o => o.FirstGroup)}, called out {Share(o => o.Hit)}; somebody else blamed {Share(o => o.FalseBlame)}, named at all {Share(o => o.FalseName)}, strong {Share(o => o.Strong)}, wrongly {Share(o => o.FalseStrong)}");
        return outcome;
    }
}
