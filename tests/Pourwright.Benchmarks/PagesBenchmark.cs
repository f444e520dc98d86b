using System.Diagnostics;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks;

/// <summary>What walls cost: many of them on one node, quiet and while somebody touches a piece every second.</summary>
/// <remarks>Processor time of this process, in which the node and the walls' readers run; the clock is real.</remarks>
internal static class PagesBenchmark
{
    private const int Pieces = 8;

    public static async Task<int> RunAsync(string[] options)
    {
        var (walls, seconds) = ((int)Option.Of(options, "--walls", 50), Option.Of(options, "--seconds", 30));
        await using var node = await StudioHarness.StartAsync(services => services.AddSingleton(TimeProvider.System));
        await PourAsync(node);
        using var http = new HttpClient { BaseAddress = node.HttpAddress, Timeout = Timeout.InfiniteTimeSpan };
        http.DefaultRequestHeaders.Authorization = new("Bearer", StudioHarness.KeyAt(node.HttpAddress.Authority));
        using var closing = new CancellationTokenSource();
        var boards = 0;
        var readers = Enumerable.Range(0, walls).Select(_ => ReadAsync(http, () => Interlocked.Increment(ref boards), closing.Token)).ToList();
        while (Volatile.Read(ref boards) < walls) await Task.Yield();
        var quiet = await CoresAsync(seconds, _ => Task.CompletedTask);
        var busy = await CoresAsync(seconds, second => TouchAsync(node, second));
        Figure.Print($"{walls} walls: {quiet:0.000} of a core when quiet, {busy:0.000} with a touch a second; {boards} boards sent");
        await closing.CancelAsync();
        await Task.WhenAll(readers).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await node.SettleAsync();
        return Figure.Report(Figure.AtMost("walls_quiet_cores", quiet, 1), Figure.AtMost("walls_busy_cores", busy, 1));
    }

    /// <summary>Cores in use over some seconds, with something done in each.</summary>
    private static async Task<double> CoresAsync(double seconds, Func<int, Task> eachSecond)
    {
        using var me = Process.GetCurrentProcess();
        using var timer = new PeriodicTimer(TimeSpan.FromSeconds(1));
        var (before, begun) = (me.TotalProcessorTime, Stopwatch.GetTimestamp());
        for (var second = 0; second < seconds && await timer.WaitForNextTickAsync(); second++) await eachSecond(second);
        me.Refresh();
        return (me.TotalProcessorTime - before) / Stopwatch.GetElapsedTime(begun);
    }

    private static async Task ReadAsync(HttpClient http, Action onBoard, CancellationToken ct)
    {
        using var reader = new StreamReader(await http.GetStreamAsync(new Uri("/studios/alder/wall/north/live", UriKind.Relative), ct));
        while (await reader.ReadLineAsync(ct) is { } line)
            if (line.StartsWith("event: wall", StringComparison.Ordinal)) onBoard();
    }

    private static async Task TouchAsync(StudioHarness node, int second) => await new PieceService.PieceServiceClient(node.Channel).RecordCheckAsync(new()
    {
        Parent = $"{SampleStudio.Name}/pieces/piece-{second % Pieces + 1}",
        Check = new() { Touch = second % 2 == 0 ? Check.Types.Touch.Firm : Check.Types.Touch.Tacky, Checker = "Ivo" },
    });

    private static async Task PourAsync(StudioHarness node)
    {
        await SampleStudio.CreateAsync(node);
        await SampleStudio.ReceiveLotsAsync(node);
        var pieces = new PieceService.PieceServiceClient(node.Channel);
        for (var number = 1; number <= Pieces; number++)
        {
            var mix = await new MixService.MixServiceClient(node.Channel).RecordMixAsync(new()
            {
                Parent = SampleStudio.Name,
                Mix = new()
                {
                    Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
                    Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
                },
            });
            var piece = await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = $"piece-{number}", Piece = new() { Site = SampleStudio.North, Label = $"{number}" } });
            await pieces.RecordPourAsync(new() { Parent = piece.Name, Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1_000_000, DepthMm = 30, Pourer = "Ivo" } });
        }
        await node.SettleAsync();
    }
}
