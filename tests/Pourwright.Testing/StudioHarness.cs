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
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Quartz;

namespace Pourwright.Testing;

/// <summary>The whole node in this process: real gRPC over loopback, a real database file, a clock that stands still.</summary>
/// <remarks>
/// Quartz is left out, so that nothing happens between two lines of a test: <see cref="SettleAsync"/> runs every sweep once.
/// A log entry of level Error that the test did not announce fails it on disposal.
/// </remarks>
public sealed class StudioHarness : IAsyncDisposable
{
    /// <summary>A Friday in winter, 09:00 in Lisbon and UTC alike.</summary>
    public static readonly DateTimeOffset Start = new(2026, 2, 6, 9, 0, 0, TimeSpan.Zero);

    private readonly ErrorWatch _errors = new();
    private WebApplication _app = null!;

    private StudioHarness(string folder) => Folder = folder;

    /// <summary>Where the database is; gone after the test.</summary>
    public string Folder { get; }

    public string DatabasePath => Path.Combine(Folder, "studio.db");

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
        var harness = new StudioHarness(Directory.CreateTempSubdirectory("pourwright-test-").FullName);
        await harness.StartNodeAsync(configure, settings);
        return harness;
    }

    /// <summary>Stops the node and starts it again on the same file, as after a crash of its memory.</summary>
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

    /// <summary>This test causes an error in the log on purpose.</summary>
    public void ExpectErrorContaining(string text) => _errors.Expected.Add(text);

    public async ValueTask DisposeAsync()
    {
        await StopNodeAsync();
        Directory.Delete(Folder, recursive: true);
        _errors.ThrowIfAny();
    }

    private async Task StartNodeAsync(Action<IServiceCollection>? configure, string[] settings)
    {
        string[] args = [$"--Node:Database={DatabasePath}", "--Node:GrpcPort=0", "--Node:HttpPort=0", .. settings];
        _app = StudioHost.Build(args, builder =>
        {
            builder.Services.AddSingleton<TimeProvider>(Clock);
            builder.Services.RemoveAll<IHostedService>(service => service.ImplementationType == typeof(QuartzHostedService));
            builder.Logging.ClearProviders().AddProvider(_errors);
            configure?.Invoke(builder.Services);
        });
        await _app.StartAsync();
        var addresses = _app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.ToList();
        Channel = GrpcChannel.ForAddress(addresses[0]);
        HttpAddress = new Uri(addresses[1]);
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
