using Google.Protobuf;
using Spectre.Console;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Kernel;

/// <summary>Where answers go: tables for people, protobuf JSON for programs.</summary>
public sealed class Output(IAnsiConsole console, bool json)
{
    /// <summary>No line of a piped table is broken.</summary>
    private const int PipedWidth = 1_000;

    private static readonly JsonFormatter OneLine = new(JsonFormatter.Settings.Default);
    private static readonly JsonFormatter Indented = new(JsonFormatter.Settings.Default.WithIndentation());

    /// <summary>Whether programs read.</summary>
    public bool Json { get; } = json;

    /// <summary>Whether a person looks on.</summary>
    public bool IsTerminal => console.Profile.Out.IsTerminal && console.Profile.Capabilities.Ansi;

    /// <summary>The console behind it, for what moves.</summary>
    public IAnsiConsole Console => console;

    /// <summary>Standard output or error; plain text without wrapping where it is not a terminal.</summary>
    public static IAnsiConsole ConsoleOn(TextWriter writer)
    {
        var output = new AnsiConsoleOutput(writer);
        if (output.IsTerminal)
            return AnsiConsole.Create(new() { Out = output });
        var plain = AnsiConsole.Create(new()
        {
            Out = output,
            Ansi = AnsiSupport.No,
            ColorSystem = ColorSystemSupport.NoColors,
            Interactive = InteractionSupport.No,
        });
        plain.Profile.Width = PipedWidth;
        return plain;
    }

    /// <summary>An answer as JSON, over several lines.</summary>
    public void Message(IMessage message) => Raw(Indented.Format(message) + "\n");

    /// <summary>One of many answers as JSON, on one line.</summary>
    public void MessageLine(IMessage message) => Raw(OneLine.Format(message) + "\n");

    /// <summary>Something for people.</summary>
    public void Show(IRenderable view) => console.Write(new Rows(view));

    /// <summary>Words for people; nothing where programs read.</summary>
    public void Say(Cell words)
    {
        if (!Json)
            Show(words.Render());
    }

    /// <summary>Text exactly as it came.</summary>
    public void Raw(string text)
    {
        console.Profile.Out.Writer.Write(text);
        console.Profile.Out.Writer.Flush();
    }
}
