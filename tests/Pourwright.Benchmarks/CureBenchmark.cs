using System.Diagnostics;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Benchmarks;

/// <summary>How long a class full of forecasts takes, and how that grows with pieces: the bars are ours, for two cores.</summary>
internal static class CureBenchmark
{
    private const int Repeats = 7;
    private const double SecondsBar = 1;
    private const double GrowthBar = 1.2;

    public static int Run(string[] options) =>
        Figure.Report([.. Class(), .. PeerBenchmark.Run(), .. Growth(options.Contains("--long"))]);

    private static IEnumerable<Figure> Class()
    {
        const int pieces = 100;
        var times = Enumerable.Range(0, Repeats + 1)
            .Select(_ => Time(pieces, CureSpread.Default)).Skip(1).OrderBy(t => t.Seconds).ToArray();
        var (best, processor) = (times[0].Seconds, times.Min(t => t.ProcessorSeconds));
        var solves = Solves(pieces, CureSpread.Default);
        Figure.Print($"Forecast of {pieces} castings 40 mm deep on an 18 mm board, two weeks ahead, default spread:");
        Figure.Print($"{solves} solves, in parallel over pieces on {Environment.ProcessorCount} cores.");
        Figure.Print($"{Repeats} rounds after one to warm up; the best counts, since others may share the machine.");
        Figure.Print($"Rounds, s: {string.Join("  ", times.Select(t => Figure.Invariant($"{t.Seconds:0.000}")))}");
        Figure.Print($"Processor time a solve: {processor / solves * 1e6:0} us");
        Console.WriteLine();
        return [
            Figure.AtMost("forecast_100_pieces_seconds", best, SecondsBar),
            Figure.AtLeast("cure_solves_per_second", solves / best, solves / SecondsBar)];
    }

    // A whole studio forecast anew with many draws: ten times the pieces should be ten times the work and no more.
    private static IEnumerable<Figure> Growth(bool whole)
    {
        var spread = CureSpread.Default with { Draws = 300 };
        (int Pieces, int Rounds)[] sizes = [(10, 10), (100, 3), (1000, 1), .. whole ? [(10_000, 1)] : Array.Empty<(int, int)>()];
        Console.WriteLine($"Forecast of many such castings with {spread.Draws} draws each:");
        var processorMs = sizes.Select(size =>
        {
            var rounds = Enumerable.Range(0, size.Rounds).Select(_ => Time(size.Pieces, spread)).ToArray();
            var (seconds, ms) = (rounds.Min(r => r.Seconds), rounds.Min(r => r.ProcessorSeconds) * 1000 / size.Pieces);
            var rate = Solves(size.Pieces, spread) / seconds;
            Figure.Print($"  {size.Pieces} pieces: {seconds:0.0} s, {rate:0} solves/s, {ms:0.0} ms of processor a piece");
            return ms;
        }).ToArray();
        return [Figure.AtMost("processor_a_piece_most_over_fewest_pieces", processorMs[^1] / processorMs[0], GrowthBar)];
    }

    private static int Solves(int pieces, CureSpread spread) => pieces * (spread.Draws + 1);

    // Pours at 18 to 24 °C in a room at 20 °C: no two pieces alike, so nothing can be remembered from one to the next.
    private static PieceCase Piece(int number, int of) => new()
    {
        Layers = [new(0, 40, 18 + 6.0 * number / of, ResinCureModel.DeepCasting)],
        Ambient = [new(0, 20)],
    };

    private static (double Seconds, double ProcessorSeconds) Time(int pieces, CureSpread spread)
    {
        using var process = Process.GetCurrentProcess();
        var (started, processor) = (Stopwatch.GetTimestamp(), process.TotalProcessorTime);
        Parallel.For(0, pieces, number => LadderForecaster.Forecast(Piece(number, pieces), spread));
        process.Refresh();
        return (Stopwatch.GetElapsedTime(started).TotalSeconds, (process.TotalProcessorTime - processor).TotalSeconds);
    }
}
