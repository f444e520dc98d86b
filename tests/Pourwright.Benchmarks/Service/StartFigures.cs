using System.Diagnostics;
using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>From the kill of a node under load to its first right answer, beside the start of a bare server.</summary>
internal static class StartFigures
{
    private const int Rounds = 5;

    public static async Task<Figure[]> MeasureAsync()
    {
        using var store = TestStore.OnFile();
        await using var node = await NodeProcess.StartAsync(store);
        await SampleStudio.CreateAsync(node.Channel);
        List<double> ratios = [];
        for (var round = 0; round < Rounds; round++)
        {
            var (again, bare) = (await SecondsToAnswerAgainAsync(node), await SecondsToEchoAsync(node.GrpcPort + 1));
            Figure.Print($"from the kill to the first answer {again:0.00} s, start of a bare server {bare:0.00} s");
            ratios.Add(again / bare);
        }
        return [Figure.AtMost("p14_kill_to_answer_over_bare_start", ratios.Order().ElementAt(Rounds / 2), 1.5)];
    }

    private static async Task<double> SecondsToAnswerAgainAsync(NodeProcess node)
    {
        var began = Stopwatch.GetTimestamp();
        await node.KillAsync();
        var starting = node.StartAgainAsync();
        var site = await FirstAnswerAsync(() => new SiteService.SiteServiceClient(node.Channel).GetSiteAsync(new() { Name = SampleStudio.North }).ResponseAsync);
        var seconds = Stopwatch.GetElapsedTime(began).TotalSeconds;
        await starting;
        return site.Name == SampleStudio.North ? seconds : throw new InvalidOperationException($"It answered with {site.Name}.");
    }

    private static async Task<double> SecondsToEchoAsync(int port)
    {
        var began = Stopwatch.GetTimestamp();
        using var process = Process.Start("dotnet", [typeof(EchoFloor).Assembly.Location, "echo", $"{port}"]);
        using var channel = GrpcChannel.ForAddress($"http://127.0.0.1:{port}");
        await FirstAnswerAsync(async () => { await EchoFloor.SayAsync(channel.CreateCallInvoker(), [1]); return true; });
        var seconds = Stopwatch.GetElapsedTime(began).TotalSeconds;
        process.Kill();
        await process.WaitForExitAsync();
        return seconds;
    }

    /// <summary>Asks again as soon as nobody listens yet; the channel itself would wait longer each time.</summary>
    private static async Task<T> FirstAnswerAsync<T>(Func<Task<T>> ask)
    {
        using var pauses = new PeriodicTimer(TimeSpan.FromMilliseconds(5));
        while (true)
        {
            try
            {
                return await ask();
            }
            catch (Grpc.Core.RpcException e) when (e.StatusCode == Grpc.Core.StatusCode.Unavailable)
            {
                await pauses.WaitForNextTickAsync();
            }
        }
    }
}
