using System.Diagnostics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Benchmarks;

/// <summary>How long a class full of forecasts takes: the bars are ours, for a machine of two cores.</summary>
internal static class CureBenchmark
{
    private const int Pieces = 100;
    private const int Repeats = 7;
    private const double SecondsBar = 1;

    public static int Run()
    {
        var pieces = Enumerable.Range(0, Pieces).Select(Piece).ToArray();
        var times = Enumerable.Range(0, Repeats + 1).Select(_ => Time(pieces)).Skip(1).OrderBy(t => t.Seconds).ToArray();
        var (best, processor) = (times[0].Seconds, times.Min(t => t.ProcessorSeconds));
        var solves = Pieces * (CureSpread.Default.Draws + 1);
        Console.WriteLine($"Forecast of {Pieces} castings 40 mm deep on an 18 mm board, two weeks ahead, default spread:");
        Console.WriteLine($"{solves} solves, in parallel over pieces on {Environment.ProcessorCount} cores.");
        Console.WriteLine($"{Repeats} rounds after one to warm up; the best counts, since others may share the machine.");
        Console.WriteLine(Figure.Invariant($"Rounds, s: {string.Join("  ", times.Select(t => Figure.Invariant($"{t.Seconds:0.000}")))}"));
        Console.WriteLine(Figure.Invariant($"Processor time a solve: {processor / solves * 1e6:0} us"));
        Console.WriteLine();
        return Figure.AtMost("forecast_100_pieces_seconds", best, SecondsBar)
            & Figure.AtLeast("cure_solves_per_second", solves / best, solves / SecondsBar)
            & PeerBenchmark.Run() ? 0 : 1;
    }

    // Pours at 18 to 24 °C in a room at 20 °C: no two pieces alike, so nothing can be remembered from one to the next.
    private static PieceCase Piece(int number) => new()
    {
        Layers = [new(0, 40, 18 + 6.0 * number / Pieces, ResinCureModel.DeepCasting)],
        Ambient = [new(0, 20)],
    };

    private static (double Seconds, double ProcessorSeconds) Time(PieceCase[] pieces)
    {
        using var process = Process.GetCurrentProcess();
        var (started, processor) = (Stopwatch.GetTimestamp(), process.TotalProcessorTime);
        Parallel.ForEach(pieces, piece => PieceForecaster.Forecast(piece));
        process.Refresh();
        return (Stopwatch.GetElapsedTime(started).TotalSeconds, (process.TotalProcessorTime - processor).TotalSeconds);
    }
}
