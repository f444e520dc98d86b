using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using Grpc.Net.Client;
using Pourwright.Host;

namespace Pourwright.Testing;

/// <summary>A node in a process of its own, so that it can be killed.</summary>
public sealed class NodeProcess : IAsyncDisposable
{
    private static readonly TimeSpan StartTimeout = TimeSpan.FromSeconds(60);

    private readonly TestStore _store;
    private readonly IReadOnlyDictionary<string, string> _variables;
    private readonly string[] _settings;
    private Process? _process;

    private NodeProcess(TestStore store, string key, IReadOnlyDictionary<string, string> variables, string[] settings)
    {
        (_store, _variables, _settings) = (store, variables, settings);
        (GrpcPort, HttpPort) = (FreePort(), FreePort());
        Channel = KeyedChannel.Open($"http://127.0.0.1:{GrpcPort}", key);
        Key = key;
    }

    public int GrpcPort { get; }

    public int HttpPort { get; }

    public GrpcChannel Channel { get; }

    /// <summary>The key of its owner.</summary>
    public string Key { get; }

    /// <summary>Starts a node on a store and waits until it takes calls.</summary>
    public static async Task<NodeProcess> StartAsync(TestStore store, params string[] settings)
    {
        var node = await PrepareAsync(store, new Dictionary<string, string>(), settings);
        await node.StartAgainAsync();
        return node;
    }

    /// <summary>A node whose owner has a key, and which <see cref="StartAgainAsync"/> starts.</summary>
    /// <param name="variables">Of its environment, besides those of this process.</param>
    public static async Task<NodeProcess> PrepareAsync(TestStore store, IReadOnlyDictionary<string, string> variables, params string[] settings) =>
        new(store, await OwnerKeyCommand.IssueAsync([store.Setting, .. settings]), variables, settings);

    /// <summary>Starts it again on the same store and the same ports.</summary>
    public async Task StartAgainAsync()
    {
        var started = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        _process = new Process { StartInfo = StartInfo(), EnableRaisingEvents = true };
        _process.OutputDataReceived += (_, line) =>
        {
            if (line.Data?.Contains("Application started", StringComparison.Ordinal) == true) started.TrySetResult();
        };
        var errors = new System.Text.StringBuilder();
        _process.ErrorDataReceived += (_, line) => errors.AppendLine(line.Data);
        _process.Exited += (_, _) => started.TrySetException(new InvalidOperationException($"The node ended before it took calls.\n{errors}"));
        _process.Start();
        Ended = _process.WaitForExitAsync();
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
        await started.Task.WaitAsync(StartTimeout);
        await Channel.ConnectAsync().WaitAsync(StartTimeout);
    }

    /// <summary>SIGKILL: no handler runs, nothing is flushed.</summary>
    public async Task KillAsync()
    {
        _process!.Kill();
        await _process.WaitForExitAsync();
        _process.Dispose();
        _process = null;
    }

    /// <summary>Completes when its process ends, for whatever reason.</summary>
    public Task Ended { get; private set; } = Task.CompletedTask;

    /// <summary>Waits until it ends by itself; its exit code.</summary>
    public async Task<int> EndAsync()
    {
        await _process!.WaitForExitAsync();
        var code = _process.ExitCode;
        _process.Dispose();
        _process = null;
        return code;
    }

    public async ValueTask DisposeAsync()
    {
        if (_process is not null) await KillAsync();
        Channel.Dispose();
    }

    private ProcessStartInfo StartInfo() => new ProcessStartInfo("dotnet")
    {
        ArgumentList = { typeof(StudioHost).Assembly.Location },
        Environment =
        {
            ["Node__GrpcPort"] = $"{GrpcPort}",
            ["Node__HttpPort"] = $"{HttpPort}",
        },
        RedirectStandardOutput = true,
        RedirectStandardError = true,
    }.With([_store.Setting, .. StudioHarness.Unhurried, .. _settings]).With(_variables);

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}

internal static class StartArguments
{
    public static ProcessStartInfo With(this ProcessStartInfo info, IReadOnlyDictionary<string, string> variables)
    {
        foreach (var (name, value) in variables) info.Environment[name] = value;
        return info;
    }

    public static ProcessStartInfo With(this ProcessStartInfo info, IEnumerable<string> arguments)
    {
        foreach (var argument in arguments) info.ArgumentList.Add(argument);
        return info;
    }
}
