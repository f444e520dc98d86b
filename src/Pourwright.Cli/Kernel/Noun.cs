using Grpc.Core;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Kernel;

/// <summary>What a command is run in.</summary>
/// <param name="In">Where answers to questions come from; null where nobody is there to answer.</param>
/// <param name="Key">Finds the key to show to the server; null where there is none.</param>
public sealed record Terminal(TextWriter Out, TextWriter Error, TimeProvider Time, TextReader? In = null, Func<string?>? Key = null);

/// <summary>A noun of the command line, to which its verbs are added.</summary>
public sealed class Noun(IConfigurator<CommandSettings> verbs, Terminal terminal)
{
    /// <summary>Says what the noun is.</summary>
    public void Describe(string description) => verbs.SetDescription(description);

    /// <summary>A verb inside a studio.</summary>
    public void Verb<TSettings>(string verb, string description, Func<Desk, TSettings, Task> work, params string[] example)
        where TSettings : StudioSettings =>
        VerbWithoutStudio<TSettings>(verb, description, async (desk, settings) =>
        {
            await desk.ChooseStudioAsync();
            await work(desk, settings);
        }, example);

    /// <summary>A verb that needs no studio.</summary>
    public void VerbWithoutStudio<TSettings>(string verb, string description, Func<Desk, TSettings, Task> work, params string[] example)
        where TSettings : StudioSettings
    {
        var command = verbs.AddAsyncDelegate<TSettings>(verb, (_, settings, stop) => RunAsync(settings, work, stop)).WithDescription(description);
        if (example.Length > 0)
            command.WithExample([.. example.Select(word => word.Contains(' ', StringComparison.Ordinal) ? $"'{word}'" : word)]);
    }

    private async Task<int> RunAsync<TSettings>(TSettings settings, Func<Desk, TSettings, Task> work, CancellationToken stop)
        where TSettings : StudioSettings
    {
        using var server = Server.At(settings.Address, terminal.Key?.Invoke(), settings.Tls);
        try
        {
            var desk = new Desk(server, new(Output.ConsoleOn(terminal.Out), settings.Json), settings, terminal, stop);
            await work(desk, settings);
            return desk.ExitCode;
        }
        catch (Exception) when (stop.IsCancellationRequested)
        {
            return Report(new(new(StatusCode.DeadlineExceeded, "stopped before it came.")), settings);
        }
        catch (RpcException refusal)
        {
            return Report(refusal, settings);
        }
    }

    private int Report(RpcException refusal, StudioSettings settings)
    {
        var errors = new Output(Output.ConsoleOn(terminal.Error), settings.Json);
        if (settings.Json)
            errors.Raw(ServerRefusal.ToJson(refusal) + "\n");
        else
            errors.Show(ServerRefusal.Show(refusal, settings, (settings as WriteSettings)?.RequestId));
        return ServerRefusal.ExitCode(refusal);
    }
}
