using Pourwright.Cli.Kernel;
using Pourwright.Cli.Nouns;
using Spectre.Console.Cli;

namespace Pourwright.Cli;

/// <summary>Every noun, and how a command ends.</summary>
public static class CommandLine
{
    private static readonly (string Noun, Action<Noun> Register)[] Nouns =
    [
        ("studio", StudioNoun.Register),
        ("site", SiteNoun.Register),
        ("bench", BenchNoun.Register),
        ("sensor", SensorNoun.Register),
        ("resin", ResinNoun.Register),
        ("offering", OfferingNoun.Register),
        ("instructor", InstructorNoun.Register),
        ("lot", LotNoun.Register),
        ("container", ContainerNoun.Register),
        ("mix", MixNoun.Register),
        ("pour", PourNoun.Register),
        ("piece", PieceNoun.Register),
        ("reading", ReadingNoun.Register),
        ("forecast", ForecastNoun.Register),
        ("plan", PlanNoun.Register),
        ("class", ClassNoun.Register),
        ("student", StudentNoun.Register),
        ("mould", MouldNoun.Register),
        ("need", NeedNoun.Register),
        ("reminder", ReminderNoun.Register),
        ("calendar", CalendarNoun.Register),
        ("defect", DefectNoun.Register),
        ("suspect", SuspectNoun.Register),
        ("recall", RecallNoun.Register),
        ("drill", DrillNoun.Register),
        ("evidence", EvidenceNoun.Register),
        ("export", ExportNoun.Register),
        ("label", LabelNoun.Register),
        ("message", MessageNoun.Register),
        ("key", KeyNoun.Register),
        ("audit", AuditNoun.Register),
    ];

    /// <summary>Runs one command; the result is one of <see cref="ExitCodes"/>.</summary>
    public static async Task<int> RunAsync(string[] args, Terminal terminal, CancellationToken stop)
    {
        var app = new CommandApp();
        app.Configure(config => Configure(config, terminal));
        var code = await app.RunAsync(args, stop);
        return args is [_] && code == 1 ? ExitCodes.Usage : code;
    }

    private static void Configure(IConfigurator config, Terminal terminal)
    {
        config.ConfigureConsole(Output.ConsoleOn(terminal.Out));
        config.SetApplicationName("pourwright");
        config.UseStrictParsing();
        config.SetExceptionHandler((fault, _) => Report(fault, terminal));
        foreach (var (noun, register) in Nouns)
            config.AddBranch(noun, verbs => register(new(verbs, terminal)));
    }

    /// <summary>What was written wrongly; anything else is a fault of this program and keeps its stack.</summary>
    private static int Report(Exception fault, Terminal terminal)
    {
        var (text, code) = fault switch
        {
            { InnerException: FormatException inner } => (inner.Message, ExitCodes.Usage),
            CommandAppException or UsageException or FormatException or IOException or UnauthorizedAccessException =>
                (fault.Message, ExitCodes.Usage),
            HalfDoneException => (fault.Message, ExitCodes.Refused),
            _ => (fault.ToString(), ExitCodes.Refused),
        };
        new Output(Output.ConsoleOn(terminal.Error), json: false).Show(new Cell(text, Tone.Bad).Render());
        return code;
    }
}
