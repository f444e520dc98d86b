using Grpc.Net.Client;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Pourwright.Studio.Access;
using Pourwright.Studio.Messaging;

namespace Pourwright.Host.Demo;

/// <summary>
/// `demo`: starts the service on a fresh database, plays a class of eight on it, and ends, or with `--stay` goes on serving.
/// `demo --season` plays ten weeks of a studio with a bad lot among its lots instead, `--pieces 240` a smaller one of the same length;
/// `demo --chain` founds a chain of five sites instead, says what to type, and serves.
/// </summary>
public static class DemoCommand
{
    private static readonly DateTimeOffset Start = new(2026, 10, 15, 9, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset SeasonStart = new(2027, 1, 4, 7, 0, 0, TimeSpan.Zero);
    private const int ChainClasses = 48;
    private static readonly DateTimeOffset ChainStart = new(2026, 12, 14, 9, 0, 0, TimeSpan.Zero);

    public static async Task RunAsync(string[] args, TextWriter output)
    {
        var isChain = args.Contains("--chain");
        var isSeason = args.Contains("--season");
        var isStaying = isChain || args.Contains("--stay");
        var folder = Directory.CreateDirectory(Path.Combine("demo-output", Guid.NewGuid().ToString("N")[..8])).FullName;
        var clock = new DemoClock(isChain ? ChainStart : isSeason ? SeasonStart : Start);
        // Whatever store the environment names is somebody's real one.
        string[] settings = [$"--Node:Database={Path.Combine(folder, "studio.db")}", "--Store:Postgres=", .. isStaying ? [] : new[] { "--Node:GrpcPort=0", "--Node:HttpPort=0" }, "--Logging:LogLevel:Default=Warning", "--Limits:CallsPerSecond=0", .. args.Where(arg => arg.StartsWith("--Node:", StringComparison.Ordinal))];
        await using var app = StudioHost.Build(settings, builder => builder.Services.AddSingleton<TimeProvider>(clock));
        await app.StartAsync();
        var addresses = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.ToList();
        var key = await app.Services.GetRequiredService<OwnerKeys>().IssueAsync();
        using var channel = KeyedChannel.Open(addresses[0], key);

        try
        {
            if (isChain) await FoundChainAsync(channel, addresses[0], key, output);
            else if (isSeason) await PlaySeasonAsync(args, channel, clock, app.Services.GetRequiredService<QuietWorker>(), output, folder);
            else await PlayClassAsync(channel, clock, app.Services.GetRequiredService<QuietWorker>(), output, folder);
            if (!isStaying) return;
            if (!isChain && !isSeason) await DemoShelf.FillAsync(new DemoStudio(channel), clock, app.Services.GetRequiredService<QuietWorker>());
            output.WriteLine($"\nThe service stays up: gRPC {addresses[0]}, JSON and pages {addresses[1]}. Its clock goes on from {clock.GetUtcNow():u}. Ctrl+C ends it.\nThe key of its owner: export POURWRIGHT_KEY={key}");
            await app.WaitForShutdownAsync();
        }
        finally
        {
            await app.StopAsync();
        }
    }

    private static async Task PlayClassAsync(GrpcChannel channel, DemoClock clock, QuietWorker worker, TextWriter output, string folder)
    {
        output.WriteLine("Pourwright demo: an invented studio, an invented class, real outdoor temperatures (NOAA hourly normals 1981-2010).");
        await new DemoStory(new DemoStudio(channel), clock, worker, output, folder).PlayAsync();
    }

    private static async Task PlaySeasonAsync(string[] args, GrpcChannel channel, DemoClock clock, QuietWorker worker, TextWriter output, string folder)
    {
        var asked = Array.IndexOf(args, "--pieces") is >= 0 and var at && at + 1 < args.Length && int.TryParse(args[at + 1], out var pieces) ? pieces : SeasonPlan.PiecesInAll;
        output.WriteLine("Pourwright demo: an invented studio and an invented season; every figure, name and fault is made up.");
        await new DemoSeason(new SeasonStudio(channel), new SeasonPlan(Math.Clamp(asked, SeasonPlan.FewestPieces, SeasonPlan.PiecesInAll)), clock, worker, output, folder).PlayAsync();
    }

    private static async Task FoundChainAsync(GrpcChannel channel, string address, string key, TextWriter output)
    {
        var chain = new InventedChain(channel, ChainOutline.Driftline);
        await chain.FoundAsync();
        await chain.AskAsync(first: 1, ChainClasses, new(2027, 1, 4), weeks: 6);
        output.WriteLine(
            $"""
            An invented chain of five sites is founded: 7 instructors, {ChainClasses} classes that people ask for. In another terminal:

              export POURWRIGHT_KEY={key}
              export POURWRIGHT_SERVER={address} POURWRIGHT_STUDIO=driftline POURWRIGHT_BY=Ottilie
              pourwright plan season --from 2027-01-04 --weeks 8 --publish
              pourwright plan replan --cold kiln --colder 6C --from 2027-01-11 --to 2027-01-31 --choose 1
              pourwright plan replan --away anouk --from 2027-01-18 --to 2027-01-31 --choose 1
              pourwright plan picture --to season.svg
            """);
    }
}
