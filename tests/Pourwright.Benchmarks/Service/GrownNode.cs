using Grpc.Net.Client;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Pourwright.Host;
using Pourwright.Studio.Access;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>A node on a file that holds years of invented mixes already.</summary>
internal sealed class GrownNode : IAsyncDisposable
{
    private const int Cans = 50, AMg = 100, BMg = 45;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-growth-");
    private readonly WebApplication _app;
    private readonly Random _random = new(1);
    private GrpcChannel? _channel;

    private GrownNode(int mixes)
    {
        Mixes = mixes;
        var file = Path.Combine(_folder.FullName, "studio.db");
        InventedRecords.Write(file, mixes);
        _app = StudioHost.Build([$"--Node:Database={file}", "--Node:GrpcPort=0", "--Node:HttpPort=0", "--Node:Roles=api", "--Limits:CallsPerSecond=0"], builder => builder.Logging.ClearProviders());
    }

    public int Mixes { get; }

    /// <summary>The first start links all that was written without links: minutes for a million mixes.</summary>
    public static async Task<GrownNode> StartAsync(int mixes)
    {
        var node = new GrownNode(mixes);
        await node._app.StartAsync();
        node._channel = KeyedChannel.Open(
            node._app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First(),
            await node._app.Services.GetRequiredService<OwnerKeys>().IssueAsync());
        return node;
    }

    public Task RecordMixAsync() => new MixService.MixServiceClient(_channel).RecordMixAsync(new()
    {
        Parent = InventedRecords.Studio,
        RequestId = Guid.NewGuid().ToString(),
        Mix = new()
        {
            Site = $"{InventedRecords.Studio}/sites/site-0",
            ResinSystem = $"{InventedRecords.Studio}/resinSystems/deep",
            Mixer = "p1",
            Scale = "scale 1",
            Draws = { new Mix.Types.Draw { Container = Can('a'), MassMg = AMg }, new Mix.Types.Draw { Container = Can('b'), MassMg = BMg } },
        },
    }).ResponseAsync;

    public Task ReadContainerAsync() => new LotService.LotServiceClient(_channel).GetContainerAsync(new() { Name = Can('a') }).ResponseAsync;

    public Task ListMixesAsync() => new MixService.MixServiceClient(_channel).ListMixesAsync(new() { Parent = InventedRecords.Studio, PageSize = 50 }).ResponseAsync;

    public async ValueTask DisposeAsync()
    {
        _channel?.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    private string Can(char part)
    {
        lock (_random) return $"{InventedRecords.Studio}/containers/{part}-{InventedRecords.LargeLot}-{_random.Next(1, Cans):00}";
    }
}
