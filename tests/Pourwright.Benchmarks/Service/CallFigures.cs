using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>Reads and durable mixes over gRPC beside a bare echo, a bare flush, bare statements and a node that commits each mix alone.</summary>
/// <remarks>Every round measures all of them one after the other, and a figure is the median of the rounds' ratios: machines drift.</remarks>
internal sealed class CallFigures(double seconds, int rounds)
{
    private const int MixRequestBytes = 200;

    private static readonly byte[] Said = new byte[MixRequestBytes];

    /// <summary>The floors of this run: calls and flushes in their first round, to tell a busy machine by.</summary>
    public double EchoPerSecond { get; private set; }

    /// <inheritdoc cref="EchoPerSecond"/>
    public double FlushMs { get; private set; }

    public async Task<Figure[]> MeasureAsync()
    {
        await using var echo = await EchoFloor.StartAsync();
        await using var node = await StartAsync();
        await using var alone = await StartAsync(services => services.Replace(ServiceDescriptor.Singleton(WriterOfOne)));
        using var floor = new StoreFloor();
        await RoundAsync(echo, node, alone, floor);
        List<Round> all = [];
        for (var round = 0; round < rounds; round++) all.Add(await RoundAsync(echo, node, alone, floor));
        (EchoPerSecond, FlushMs) = (Median(all, r => r.Echo64.PerSecond), Median(all, r => r.Flush.P50));
        foreach (var r in all) Print(r);
        return
        [
            Figure.AtLeast("p1_read_at_16_over_echo", Median(all, r => r.Read16.PerSecond / r.Echo16.PerSecond), 0.50),
            Figure.AtLeast("p2_mix_at_64_over_echo", Median(all, r => r.Mix64.PerSecond / r.Echo64.PerSecond), 0.20),
            Figure.AtLeast("p3_mix_at_64_over_one_a_commit", Median(all, r => r.Mix64.PerSecond / r.Alone64.PerSecond), 4),
            Figure.AtLeast("p4_mix_at_64_over_bare_statements", Median(all, r => r.Mix64.PerSecond / r.BareMixes), 0.40),
            Figure.AtMost("p5_mix_at_1_p50_over_echo_and_flush", Median(all, r => r.Mix1.P50 / (r.Echo1.P50 + r.Flush.P50)), 2),
            Figure.AtMost("p6_mix_at_16_p99_over_flush_p99", Median(all, r => r.Mix16.P99 / r.Flush.P99), 15),
        ];
    }

    private static StudioWriter WriterOfOne(IServiceProvider services) => new(
        services.GetRequiredService<StudioStore>(), services.GetRequiredService<CommitSignal>(), services.GetRequiredService<TimeProvider>(),
        services.GetRequiredService<ILogger<StudioWriter>>(), batchMost: 1);

    private static async Task<StudioHarness> StartAsync(Action<IServiceCollection>? configure = null)
    {
        var node = await StudioHarness.StartAsync(configure);
        await Mixes.CreateAsync(node.Channel);
        return node;
    }

    private async Task<Round> RoundAsync(EchoFloor echo, StudioHarness node, StudioHarness alone, StoreFloor floor)
    {
        Task<Load> Say(int clients) => Load.MeasureAsync(clients, seconds, () => echo.SayAsync(Said));
        Task<Load> Mix(int clients) => Load.MeasureAsync(clients, seconds, () => Mixes.RecordAsync(node.Channel));
        var lots = new LotService.LotServiceClient(node.Channel);
        return new(
            await Say(1), await Say(16), await Say(64), Load.Measure(seconds, floor.Flush), floor.MixesPerSecond(seconds),
            await Load.MeasureAsync(16, seconds, () => lots.GetContainerAsync(new() { Name = Mixes.Can }).ResponseAsync),
            await Mix(1), await Mix(16), await Mix(64), await Load.MeasureAsync(64, seconds, () => Mixes.RecordAsync(alone.Channel)));
    }

    private static double Median(List<Round> all, Func<Round, double> figure) => all.Select(figure).Order().ElementAt(all.Count / 2);

    private static void Print(Round r) => Figure.Print(
        $"echo {r.Echo1.P50:0.00} ms, {r.Echo16.PerSecond:0}/s, {r.Echo64.PerSecond:0}/s; flush {r.Flush.P50:0.00} ms; bare mixes {r.BareMixes:0}/s; read {r.Read16.PerSecond:0}/s; mix {r.Mix1.P50:0.00} ms, {r.Mix16.PerSecond:0}/s, {r.Mix64.PerSecond:0}/s (p99 {r.Mix64.P99:0.0} ms); one a commit {r.Alone64.PerSecond:0}/s");

    private sealed record Round(
        Load Echo1, Load Echo16, Load Echo64, Load Flush, double BareMixes, Load Read16, Load Mix1, Load Mix16, Load Mix64, Load Alone64);
}
