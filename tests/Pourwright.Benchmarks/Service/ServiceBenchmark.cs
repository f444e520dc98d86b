using System.Globalization;

namespace Pourwright.Benchmarks.Service;

/// <summary>What a node costs beside what the machine takes anyhow: every figure is a ratio to a floor measured in the same run.</summary>
/// <remarks>
/// Node, clients and floors share this machine. On a busy one nothing is judged: the load before, a flush and an echo tell. The walks
/// of a trace have a benchmark of their own.
/// </remarks>
internal static class ServiceBenchmark
{
    /// <summary>An idle machine: runnable processes before the run, ms of a flush, echoes a second by 64 clients. Seen on the machine of the figures.</summary>
    private const double LoadMost = 0.5, FlushMsMost = 1, EchoLeast = 25_000;

    public static async Task<int> RunAsync(string[] options)
    {
        var load = double.Parse(File.ReadAllText("/proc/loadavg").Split(' ')[0], CultureInfo.InvariantCulture);
        var calls = new CallFigures(Option.Of(options, "--seconds", 2), Option.Of(options, "--rounds", 5));
        Figure[] figures = [.. await calls.MeasureAsync(), .. await ReminderFigures.MeasureAsync(), .. await StartFigures.MeasureAsync()];
        Figure.Print($"before: load {load:0.00}; flush {calls.FlushMs:0.00} ms, echo by 64 clients {calls.EchoPerSecond:0}/s");
        if (load <= LoadMost && calls.FlushMs <= FlushMsMost && calls.EchoPerSecond >= EchoLeast) return Figure.Report(figures);
        Figure.Report([.. figures.Select(figure => figure with { Fails = false })]);
        Figure.Print($"not judged: an idle machine has a load of {LoadMost} at most, flushes in {FlushMsMost} ms and echoes {EchoLeast} times a second.");
        return 3;
    }
}
