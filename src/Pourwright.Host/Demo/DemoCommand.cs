using Grpc.Net.Client;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Pourwright.Studio.Messaging;

namespace Pourwright.Host.Demo;

/// <summary>`demo`: starts the service on a fresh database, plays a class of eight on it, and ends, or with `--stay` goes on serving.</summary>
public static class DemoCommand
{
    private static readonly DateTimeOffset Start = new(2026, 10, 15, 9, 0, 0, TimeSpan.Zero);

    public static async Task RunAsync(string[] args, TextWriter output)
    {
        var isStaying = args.Contains("--stay");
        var folder = Directory.CreateDirectory(Path.Combine("demo-output", Guid.NewGuid().ToString("N")[..8])).FullName;
        var clock = new DemoClock(Start);
        string[] settings = [$"--Node:Database={Path.Combine(folder, "studio.db")}", .. isStaying ? [] : new[] { "--Node:GrpcPort=0", "--Node:HttpPort=0" }, "--Logging:LogLevel:Default=Warning", .. args.Where(arg => arg.StartsWith("--Node:", StringComparison.Ordinal))];
        await using var app = StudioHost.Build(settings, builder => builder.Services.AddSingleton<TimeProvider>(clock));
        await app.StartAsync();
        var addresses = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.ToList();
        using var channel = GrpcChannel.ForAddress(addresses[0]);

        output.WriteLine("Pourwright demo: an invented studio, an invented class, real outdoor temperatures (NOAA hourly normals 1981-2010).");
        try
        {
            await new DemoStory(new DemoStudio(channel), clock, app.Services.GetRequiredService<QuietWorker>(), output, folder).PlayAsync();
            if (!isStaying) return;
            output.WriteLine($"\nThe service stays up: gRPC {addresses[0]}, JSON {addresses[1]}. Its clock goes on from {clock.GetUtcNow():u}. Ctrl+C ends it.");
            await app.WaitForShutdownAsync();
        }
        finally
        {
            await app.StopAsync();
        }
    }
}
