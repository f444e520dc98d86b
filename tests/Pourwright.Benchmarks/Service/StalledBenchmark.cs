using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>What stalled connections take from good clients: a node in a process of its own, measured with them and without in turn.</summary>
/// <remarks>A figure is the median of the rounds' ratios, as machines drift. Whatever the node has given up is opened again before each round.</remarks>
internal static class StalledBenchmark
{
    private const int Clients = 16;

    public static async Task<int> RunAsync(string[] options)
    {
        var (connections, seconds, rounds) = (Option.Of(options, "--connections", 2_000), Option.Of(options, "--seconds", 3), Option.Of(options, "--rounds", 7));
        using var store = TestStore.OnFile();
        await using var node = await NodeProcess.StartAsync(store);
        await Mixes.CreateAsync(node.Channel);
        Task<Load> CallAsync() => Load.MeasureAsync(Clients, seconds, () => BothAsync(node));
        await CallAsync();
        List<(double Rate, double P99)> all = [];
        for (var round = 1; round <= rounds; round++)
        {
            var without = await CallAsync();
            using var stalled = await StalledConnections.OpenAsync(node.GrpcPort, node.HttpPort, node.Key, connections);
            var trickling = TrickleAsync(stalled, seconds);
            var with = await CallAsync();
            await trickling;
            all.Add((with.PerSecond / without.PerSecond, with.P99 / without.P99));
            Figure.Print($"round {round}: without {without.PerSecond:0}/s, p99 {without.P99:0.0} ms; with {connections} stalled {with.PerSecond:0}/s, p99 {with.P99:0.0} ms");
        }
        return Figure.Report(
            Figure.AtLeast("r13_rate_beside_stalled", Median(all.Select(round => round.Rate)), 0.80),
            Figure.AtMost("r13_p99_beside_stalled", Median(all.Select(round => round.P99)), 2));
    }

    /// <summary>A durable write and a read.</summary>
    private static async Task BothAsync(NodeProcess node)
    {
        await Mixes.RecordAsync(node.Channel);
        await new LotService.LotServiceClient(node.Channel).GetContainerAsync(new() { Name = Mixes.Can });
    }

    private static async Task TrickleAsync(StalledConnections stalled, double seconds)
    {
        using var timer = new PeriodicTimer(TimeSpan.FromSeconds(1));
        for (var second = 1; second < seconds && await timer.WaitForNextTickAsync(); second++) await stalled.TrickleAsync();
    }

    private static double Median(IEnumerable<double> figures) => figures.Order().ToArray() is var sorted ? sorted[sorted.Length / 2] : double.NaN;
}
