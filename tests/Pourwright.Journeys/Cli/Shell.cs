using Pourwright.Cli;
using Pourwright.Cli.Kernel;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>Runs the command line in this process, as a script would.</summary>
/// <param name="server">Where it is sent.</param>
/// <param name="clock">The present instant.</param>
/// <param name="answers">What is typed when a command asks; null where nobody is there.</param>
internal sealed class Shell(string server, TimeProvider clock, string? answers = null)
{
    /// <summary>Runs one command; its words are cut at spaces, and quotes keep words together.</summary>
    public async Task<(int Code, string Out, string Error)> RunAsync(string command, CancellationToken stop = default)
    {
        var (output, errors) = (new StringWriter(), new StringWriter());
        string[] words = [.. command.Split('\'').SelectMany((part, index) => index % 2 == 1 ? [part] : part.Split(' ', StringSplitOptions.RemoveEmptyEntries))];
        var code = await CommandLine.RunAsync([.. words, "--server", server], new Terminal(output, errors, clock, answers is null ? null : new StringReader(answers), () => StudioHarness.KeyAt(server[(server.LastIndexOf('/') + 1)..])), stop);
        return (code, output.ToString(), errors.ToString());
    }

    /// <summary>Runs one command that must succeed, and returns what it printed.</summary>
    public async Task<string> DoAsync(string command)
    {
        var (code, output, error) = await RunAsync(command);
        Assert.True(code == ExitCodes.Done, $"{command}\nended with {code}\n{error}");
        return output;
    }
}
