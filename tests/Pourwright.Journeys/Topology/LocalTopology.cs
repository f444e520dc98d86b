using System.Diagnostics;
using Grpc.Net.Client;
using Npgsql;
using Pourwright.Host;

namespace Pourwright.Journeys.Topology;

/// <summary>Two api nodes, two workers, a broker and a database as processes of their own, brought up and taken down by deploy/local.sh.</summary>
public sealed class LocalTopology : IAsyncLifetime
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(5);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("pourwright-topology-");
    private Dictionary<string, string> _addresses = [];

    /// <summary>Where reminders of a contact with its address arrive.</summary>
    public WebhookSink Sink { get; private set; } = null!;

    /// <summary>Channels of the two api nodes.</summary>
    public IReadOnlyList<GrpcChannel> Apis { get; private set; } = [];

    public async Task InitializeAsync()
    {
        Sink = await WebhookSink.StartAsync();
        await RunAsync("up");
        _addresses = File.ReadLines(Path.Combine(_folder.FullName, "addresses")).Select(line => line.Split('=', 2)).ToDictionary(part => part[0], part => part[1]);
        var key = await OwnerKeyCommand.IssueAsync([$"--Store:Postgres={_addresses["database"]}"]);
        Apis = [.. TopologyTests.Api.Select(name => KeyedChannel.Open($"http://127.0.0.1:{Ports(name)[0]}", key))];
    }

    public async Task DisposeAsync()
    {
        foreach (var api in Apis) api.Dispose();
        await RunAsync("down");
        await Sink.DisposeAsync();
        _folder.Delete(recursive: true);
    }

    /// <summary>Starts, stops or kills a part by its name, such as `worker-1` or `broker`.</summary>
    public Task DoAsync(string verb, string name) => RunAsync(verb, name);

    public int ProcessId(string name) => int.Parse(File.ReadAllText(Path.Combine(_folder.FullName, $"{name}.pid")), System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>What a node says when asked whether it is ready, once <paramref name="isIt"/> holds.</summary>
    public async Task<string> ReadyAsync(string name, Func<string, bool> isIt)
    {
        using var http = new HttpClient();
        var said = "";
        await UntilAsync(async () => isIt(said = await (await http.GetAsync(new Uri($"http://127.0.0.1:{Ports(name)[1]}/healthz/ready"))).Content.ReadAsStringAsync()), () => $"{name} says {said}");
        return said;
    }

    /// <summary>First column of all rows of a query.</summary>
    public async Task<IReadOnlyList<T>> QueryAsync<T>(string sql)
    {
        await using var connection = new NpgsqlConnection($"{_addresses["database"]};Pooling=false");
        await connection.OpenAsync();
        await using var command = new NpgsqlCommand(sql, connection);
        await using var reader = await command.ExecuteReaderAsync();
        List<T> rows = [];
        while (await reader.ReadAsync()) rows.Add(reader.GetFieldValue<T>(0));
        return rows;
    }

    /// <summary>Looks five times a second: what other processes do wakes nobody here.</summary>
    public static async Task UntilAsync(Func<Task<bool>> what, Func<string> state)
    {
        var start = TimeProvider.System.GetTimestamp();
        using var looks = new PeriodicTimer(TimeSpan.FromMilliseconds(200));
        while (!await what())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(start) < Patience, $"It did not come within {Patience}: {state()}");
            await looks.WaitForNextTickAsync();
        }
    }

    private int[] Ports(string name) => [.. _addresses[name].Split(' ').Select(int.Parse)];

    private Task RunAsync(params string[] what) => RunAsync(_folder.FullName, what, new()
    {
        ["POURWRIGHT_HOST"] = $"dotnet {typeof(StudioHost).Assembly.Location}",
        ["Reminders__Webhooks__Hosts__0"] = $"127.0.0.1:{Sink.Port}",
        ["Reminders__Webhooks__PrivateNetworks__0"] = "127.0.0.0/8",
        ["Reminders__Webhooks__Secrets__0"] = $"whsec_{Convert.ToBase64String(new byte[32])}",
        ["Reminders__Delivery__DelayMin"] = "00:00:03",
    });

    /// <summary>Runs deploy/local.sh in a folder.</summary>
    /// <param name="folder">Where its parts live.</param>
    /// <param name="what">Its verb, and the name of a part.</param>
    /// <param name="environment">What nodes are started with.</param>
    internal static async Task RunAsync(string folder, string[] what, Dictionary<string, string> environment)
    {
        var script = Path.Combine(Repository.Root, "deploy", "local.sh");
        // To a file: what it starts inherits its output, and a pipe would not end before they do.
        var log = Path.Combine(folder, $"local-{Guid.NewGuid():N}.log");
        var start = new ProcessStartInfo("bash", ["-c", $"\"$@\" > '{log}' 2>&1 < /dev/null", "bash", script, what[0], folder, .. what[1..]]);
        foreach (var (name, value) in environment) start.Environment[name] = value;
        using var process = Process.Start(start)!;
        await process.WaitForExitAsync();
        Assert.True(process.ExitCode == 0, $"local.sh {string.Join(' ', what)} ended with {process.ExitCode}: {await File.ReadAllTextAsync(log)}");
    }
}
