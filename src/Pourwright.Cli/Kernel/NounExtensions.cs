using Grpc.Core;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Kernel;

/// <summary>Registers verbs under a noun.</summary>
public static class NounExtensions
{
    /// <summary>A verb inside a studio.</summary>
    public static IConfigurator<CommandSettings> Verb<TSettings>(
        this IConfigurator<CommandSettings> noun, string verb, string description, Func<Desk, TSettings, Task> work, params string[] example)
        where TSettings : StudioSettings =>
        noun.Register<TSettings>(verb, description, example, async (desk, settings) =>
        {
            await desk.ChooseStudioAsync();
            await work(desk, settings);
        });

    /// <summary>A verb that needs no studio.</summary>
    public static IConfigurator<CommandSettings> VerbWithoutStudio<TSettings>(
        this IConfigurator<CommandSettings> noun, string verb, string description, Func<Desk, TSettings, Task> work, params string[] example)
        where TSettings : StudioSettings => noun.Register(verb, description, example, work);

    private static IConfigurator<CommandSettings> Register<TSettings>(
        this IConfigurator<CommandSettings> noun, string verb, string description, string[] example, Func<Desk, TSettings, Task> work)
        where TSettings : StudioSettings
    {
        var command = noun.AddAsyncDelegate<TSettings>(verb, (_, settings, stop) => RunAsync(settings, work, stop))
            .WithDescription(description);
        if (example.Length > 0)
            command.WithExample(example);
        return noun;
    }

    private static async Task<int> RunAsync<TSettings>(TSettings settings, Func<Desk, TSettings, Task> work, CancellationToken stop)
        where TSettings : StudioSettings
    {
        using var server = Server.At(settings.Address);
        var output = new Output(Output.ConsoleOn(Console.Out), settings.Json);
        try
        {
            await work(new(server, output, settings, TimeProvider.System, stop), settings);
            return ExitCodes.Done;
        }
        catch (RpcException refusal) when (!stop.IsCancellationRequested)
        {
            Report(refusal, settings);
            return ServerRefusal.ExitCode(refusal);
        }
    }

    private static void Report(RpcException refusal, StudioSettings settings)
    {
        var errors = new Output(Output.ConsoleOn(Console.Error), settings.Json);
        if (settings.Json)
            errors.Raw(ServerRefusal.ToJson(refusal) + "\n");
        else
            errors.Show(ServerRefusal.Show(refusal, settings.Address, (settings as WriteSettings)?.RequestId));
    }
}
