using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Spectre.Console.Cli;

namespace Pourwright.Cli;

/// <summary>Every noun, and how a command ends.</summary>
public static class CommandLine
{
    /// <summary>Runs one command; the result is one of <see cref="ExitCodes"/>.</summary>
    public static async Task<int> RunAsync(string[] args, CancellationToken stop)
    {
        var app = new CommandApp();
        app.Configure(Configure);
        var code = await app.RunAsync(args, stop);
        return args is [_] && code == 1 ? ExitCodes.Usage : code;
    }

    private static void Configure(IConfigurator config)
    {
        config.SetApplicationName("pourwright");
        config.UseStrictParsing();
        config.CancellationExitCode(ExitCodes.Done);
        config.SetExceptionHandler((fault, _) => Report(fault));
        config.AddBranch("studio", StudioNoun.Register);
        config.AddBranch("site", SiteNoun.Register);
        config.AddBranch("bench", BenchNoun.Register);
        config.AddBranch("sensor", SensorNoun.Register);
        config.AddBranch("resin", ResinNoun.Register);
        config.AddBranch("lot", LotNoun.Register);
        config.AddBranch("container", ContainerNoun.Register);
        config.AddBranch("mix", MixNoun.Register);
        config.AddBranch("piece", PieceNoun.Register);
        config.AddBranch("reading", ReadingNoun.Register);
        config.AddBranch("forecast", ForecastNoun.Register);
        config.AddBranch("reminder", ReminderNoun.Register);
        config.AddBranch("defect", DefectNoun.Register);
    }

    /// <summary>What was written wrongly; anything else is a fault of this program and keeps its stack.</summary>
    private static int Report(Exception fault)
    {
        var (text, code) = fault switch
        {
            { InnerException: FormatException inner } => (inner.Message, ExitCodes.Usage),
            CommandAppException or UsageException or FormatException or IOException or UnauthorizedAccessException => (fault.Message, ExitCodes.Usage),
            _ => (fault.ToString(), ExitCodes.Refused),
        };
        new Output(Output.ConsoleOn(Console.Error), json: false).Show(new Cell(text, Tone.Bad).Render());
        return code;
    }
}
