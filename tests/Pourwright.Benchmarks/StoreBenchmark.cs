using System.Diagnostics;
using Pourwright.Testing;
using Pourwright.V1;

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
        await SampleStudio.CreateAsync(node.Channel);
        await SampleStudio.ReceiveAsync(node.Channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", 1_000_000_000);
        await SampleStudio.ReceiveAsync(node.Channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", 1_000_000_000);
        await MeasureAsync(node, 16, seconds);
        foreach (var clients in Clients)
        {
            var began = Process.GetCurrentProcess().TotalProcessorTime;
            var waits = await MeasureAsync(node, clients, seconds);
            var processor = (Process.GetCurrentProcess().TotalProcessorTime - began).TotalMicroseconds / waits.Length;
            Figure.Print($"{clients,3} clients: {waits.Length / (double)seconds:0} mixes/s, p50 {waits[waits.Length / 2]:0.00} ms, p99 {waits[waits.Length * 99 / 100]:0.00} ms, {processor:0} us of processor a mix in this process");
        }
        return 0;
    }

    /// <summary>Milliseconds that each call waited, sorted.</summary>
    private static async Task<double[]> MeasureAsync(StudioHarness node, int clients, int seconds)
    {
        var end = Stopwatch.GetTimestamp() + seconds * Stopwatch.Frequency;
        var waits = await Task.WhenAll(Enumerable.Range(0, clients).Select(_ => Task.Run(() => RecordUntilAsync(node, end))));
        return [.. waits.SelectMany(each => each).Order()];
    }

    private static async Task<List<double>> RecordUntilAsync(StudioHarness node, long end)
    {
        var mixes = new MixService.MixServiceClient(node.Channel);
        List<double> waits = [];
        while (Stopwatch.GetTimestamp() is var began && began < end)
        {
            await mixes.RecordMixAsync(new()
            {
                Parent = SampleStudio.Name,
                RequestId = Guid.NewGuid().ToString(),
                // Exactly 2 : 1 by volume at 1150 and 960 kg/m3.
                Mix = new()
                {
                    Site = SampleStudio.North,
                    ResinSystem = SampleStudio.Coat,
                    Mixer = "Asa",
                    Scale = "scale 1",
                    Draws =
                    {
                        new Mix.Types.Draw { Container = "studios/alder/containers/coat-a-can", MassMg = 1150 },
                        new Mix.Types.Draw { Container = "studios/alder/containers/coat-b-can", MassMg = 480 },
                    },
                },
            });
            waits.Add(Stopwatch.GetElapsedTime(began).TotalMilliseconds);
        }
        return waits;
    }
}
