using System.Diagnostics;
using Pourwright.Benchmarks.Service;
using Pourwright.Testing;

namespace Pourwright.Benchmarks;

/// <summary>Mixes recorded over gRPC by 1, 16 and 64 clients at once, each answered after its commit; node and clients share this process.</summary>
/// <remarks>On a file, or with POURWRIGHT_TEST_STORE=postgres on the server that POURWRIGHT_TEST_SERVER names, which must flush (fsync=on) for figures that mean anything.</remarks>
internal static class StoreBenchmark
{
    private static readonly int[] Clients = [1, 16, 64];

    public static async Task<int> RunAsync(string[] options)
    {
        var seconds = Option.Of(options, "--seconds", 10);
        await using var node = await StudioHarness.StartAsync();
        await Mixes.CreateAsync(node.Channel);
        await Load.MeasureAsync(16, seconds, () => Mixes.RecordAsync(node.Channel));
        foreach (var clients in Clients)
        {
            var (began, writerBegan) = (Process.GetCurrentProcess().TotalProcessorTime, await WriterSecondsAsync(node));
            var load = await Load.MeasureAsync(clients, seconds, () => Mixes.RecordAsync(node.Channel));
            var processor = (Process.GetCurrentProcess().TotalProcessorTime - began).TotalMicroseconds / load.Waits.Length;
            var writer = (await WriterSecondsAsync(node) - writerBegan) * 1e6 / load.Waits.Length;
            Figure.Print($"{clients,3} clients: {load.PerSecond:0} mixes/s, p50 {load.P50:0.00} ms, p99 {load.P99:0.00} ms, {processor:0} us of processor a mix in this process, {writer:0} us of it on the writer's thread");
        }
        return 0;
    }

    /// <summary>Processor time that the writer's thread has used so far, in s: of all figures the one that a busy machine moves least.</summary>
    private static Task<double> WriterSecondsAsync(StudioHarness node) => node.Writer.WriteAsync(_ => ProcessorClock.Seconds());
}
