using System.Collections.Concurrent;
using Grpc.Net.Client;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using Pourwright.Host;
using Pourwright.Studio.Access;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Quartz;

namespace Pourwright.Testing;

/// <summary>The whole node in this process: real gRPC over loopback, a real database, a clock that stands still.</summary>
/// <remarks>
/// Quartz is left out, so that nothing happens between two lines of a test: <see cref="SettleAsync"/> runs every sweep once.
/// A log entry of level Error that the test did not announce fails it on disposal.
/// </remarks>
public sealed class StudioHarness : IAsyncDisposable
{
    /// <summary>A Friday in winter, 09:00 in Lisbon and UTC alike.</summary>
    public static readonly DateTimeOffset Start = new(2026, 2, 6, 9, 0, 0, TimeSpan.Zero);

    /// <summary>Tests make more calls than people, and beside others on a busy machine they may send the rest of one seconds later; those of the limits set them again.</summary>
    internal static readonly string[] Unhurried =
    [
        "--Limits:CallsPerSecond=0", "--Limits:AnonymousCallsPerSecond=0",
        "--Limits:HeadersWithin=00:10:00", "--Limits:BodyGrace=00:10:00", "--Limits:PingWithin=00:10:00",
    ];

    private static readonly ConcurrentDictionary<string, string> Keys = new();

    private readonly ErrorWatch _errors = new();
    private WebApplication _app = null!;
    private bool _ownsStore;
    private string? _key;

    private StudioHarness(TestStore store) => Store = store;

    /// <summary>What the node keeps its records in; gone after the test.</summary>
    public TestStore Store { get; }

    /// <summary>For files of the test, gone after it.</summary>
    public string Folder => Store.Folder;

    public FakeTimeProvider Clock { get; } = new(Start);

    public GrpcChannel Channel { get; private set; } = null!;

    /// <summary>Base address of JSON and health.</summary>
    public Uri HttpAddress { get; private set; } = null!;

    public IServiceProvider Services => _app.Services;

    public StudioReads Reads => Services.GetRequiredService<StudioReads>();

    public StudioWriter Writer => Services.GetRequiredService<StudioWriter>();

    /// <param name="configure">Replaces services, for example a sender.</param>
    public static async Task<StudioHarness> StartAsync(Action<IServiceCollection>? configure = null, params string[] settings)
    {
        var harness = new StudioHarness(TestStore.Create()) { _ownsStore = true };
        await harness.StartNodeAsync(configure, settings);
        return harness;
    }

    /// <summary>A node on a store that outlives it; several may run on one server's.</summary>
    public static async Task<StudioHarness> StartOnAsync(TestStore store, params string[] settings)
    {
        var harness = new StudioHarness(store);
        await harness.StartNodeAsync(null, settings);
        return harness;
    }

    /// <summary>Stops the node and starts it again on the same store, as after a crash of its memory.</summary>
    public async Task RestartAsync(Action<IServiceCollection>? configure = null, params string[] settings)
    {
        await StopNodeAsync();
        await StartNodeAsync(configure, settings);
    }

    /// <summary>Every saved message has had its effect, every sweep has run.</summary>
    public Task SettleAsync() => Services.GetRequiredService<QuietWorker>().SettleAsync();

    /// <summary>Moves the clock, then settles.</summary>
    public Task AdvanceAsync(TimeSpan by)
    {
        Clock.Advance(by);
        return SettleAsync();
    }

    /// <summary>The key of the owner of the node at an address, for clients of another kind.</summary>
    public static string? KeyAt(string target) => Keys.GetValueOrDefault(target);

    /// <summary>A client of the JSON port with the owner's key.</summary>
    public HttpClient OpenHttp()
    {
        var http = new HttpClient { BaseAddress = HttpAddress };
        http.DefaultRequestHeaders.Authorization = new("Bearer", _key);
        return http;
    }

    /// <summary>A channel with another key, or with none.</summary>
    public GrpcChannel OpenChannel(string? key) => key is null ? GrpcChannel.ForAddress($"http://{Channel.Target}") : KeyedChannel.Open($"http://{Channel.Target}", key);

    /// <summary>This test causes an error in the log on purpose.</summary>
    public void ExpectErrorContaining(string text) => _errors.Expected.Add(text);

    public async ValueTask DisposeAsync()
    {
        await StopNodeAsync();
        if (_ownsStore) Store.Dispose();
        _errors.ThrowIfAny();
    }

    private async Task StartNodeAsync(Action<IServiceCollection>? configure, string[] settings)
    {
        string[] args = [Store.Setting, "--Node:GrpcPort=0", "--Node:HttpPort=0", .. Unhurried, .. settings];
        _app = StudioHost.Build(args, builder =>
        {
            builder.Services.AddSingleton<TimeProvider>(Clock);
            builder.Services.RemoveAll<IHostedService>(service => service.ImplementationType == typeof(QuartzHostedService));
            builder.Logging.ClearProviders().AddProvider(_errors);
            configure?.Invoke(builder.Services);
        });
        await _app.StartAsync();
        var addresses = _app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.ToList();
        _key ??= await Services.GetRequiredService<OwnerKeys>().IssueAsync();
        Channel = KeyedChannel.Open(addresses[0], _key);
        Keys[Channel.Target] = _key;
        HttpAddress = new Uri(addresses[1]);
        Keys[HttpAddress.Authority] = _key;
    }

    private async Task StopNodeAsync()
    {
        Channel.Dispose();
        await _app.StopAsync();
        await _app.DisposeAsync();
    }
}

internal static class ServiceRemoval
{
    public static void RemoveAll<T>(this IServiceCollection services, Func<ServiceDescriptor, bool> which)
    {
        foreach (var service in services.Where(s => s.ServiceType == typeof(T) && which(s)).ToList()) services.Remove(service);
    }
}
