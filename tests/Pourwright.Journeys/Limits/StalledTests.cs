using Grpc.Core;
using Grpc.Health.V1;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Limits;

/// <summary>Good clients beside those that begin something and go no further; how much of their rate they keep is measured by `stalled` of the benchmarks.</summary>
public sealed class StalledTests
{
    private const int Connections = 200, Calls = 100;

    [Fact]
    public async Task GoodCalls_BesideStalledConnections_AllSucceed()
    {
        using var store = TestStore.OnFile();
        await using var node = await NodeProcess.StartAsync(store);
        await SampleStudio.CreateAsync(node.Channel);
        using var stalled = await StalledConnections.OpenAsync(node.GrpcPort, node.HttpPort, node.Key, Connections);
        var pieces = new PieceService.PieceServiceClient(node.Channel);

        for (var i = 1; i <= Calls; i++)
        {
            await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = $"piece-{i}", Piece = new() { Site = SampleStudio.North, Label = $"{i}" } });
            if (i % 10 == 0) await stalled.TrickleAsync();
        }

        Assert.Equal(Calls, (await pieces.ListPiecesAsync(new() { Parent = SampleStudio.Name, PageSize = 500 })).Pieces.Count);
    }

    /// <summary>What stalls is what it says: it holds the one stream that its key may have open, and lets go of it with its connection.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task StalledStream_HoldsAStreamOfItsKey_UntilItsConnectionEnds(bool isWatch)
    {
        await using var node = await StudioHarness.StartAsync(null, "--Limits:OpenStreams=1");
        var health = new Health.HealthClient(node.Channel);
        var (port, key) = (new Uri($"http://{node.Channel.Target}").Port, StudioHarness.KeyAt(node.Channel.Target)!);

        var stalled = await RawConnection.OpenAsync(port, isWatch ? StalledConnections.UnreadWatch(key) : StalledConnections.HalfAMessage(key));
        await UntilAsync(async () => await WatchAsync(health) == StatusCode.ResourceExhausted);
        stalled.Dispose();

        await UntilAsync(async () => await WatchAsync(health) == StatusCode.OK);
    }

    private static async Task<StatusCode> WatchAsync(Health.HealthClient health)
    {
        using var watch = health.Watch(new());
        return await Record.ExceptionAsync(() => watch.ResponseStream.MoveNext(CancellationToken.None)) is RpcException refusal ? refusal.StatusCode : StatusCode.OK;
    }

    /// <summary>Asks until it is so; the node hears of a connection's beginning and end a moment later.</summary>
    private static async Task UntilAsync(Func<Task<bool>> isSo)
    {
        for (var i = 0; i < 10_000; i++)
            if (await isSo())
                return;
        Assert.Fail("It never was.");
    }
}
