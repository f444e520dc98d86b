using System.ComponentModel;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Kernel;

/// <summary>Written wrongly: the text says what and how to put it right. Ends with <see cref="ExitCodes.Usage"/>.</summary>
public sealed class UsageException(string text) : Exception(text);

/// <summary>A first step was sent and is kept, and what came of it does not allow the next: the text says how to go on. Ends with <see cref="ExitCodes.Refused"/>.</summary>
public sealed class HalfDoneException(string text) : Exception(text);

/// <summary>What a script can tell from the way a command ended.</summary>
public static class ExitCodes
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>The server understood and refused, or did a part; or a fault of this program, which shows its stack.</summary>
    public const int Refused = 1;

    /// <summary>The command line cannot be read, or a file that it names not read or written; nothing was recorded.</summary>
    public const int Usage = 2;

    /// <summary>The server could not be reached or did not answer in time.</summary>
    public const int ServerAway = 3;

    /// <summary>What was to be checked was checked, and is not in order.</summary>
    public const int Faulty = 4;
}

/// <summary>Options of every command.</summary>
public class StudioSettings : CommandSettings
{
    [CommandOption("--server <URL>")]
    [Description("Address of the server; else $POURWRIGHT_SERVER, else http://127.0.0.1:5080")]
    public string? Server { get; init; }

    [CommandOption("--certificate <FILE>")]
    [Description("PEM file of the certificate to show to a server that asks for one; else $POURWRIGHT_CERTIFICATE")]
    public string? Certificate { get; init; }

    [CommandOption("--certificate-key <FILE>")]
    [Description("PEM file of its private key; else $POURWRIGHT_CERTIFICATE_KEY, else it stands in the same file")]
    public string? CertificateKey { get; init; }

    [CommandOption("--authority <FILE>")]
    [Description("PEM file of the authorities whose servers are trusted; else $POURWRIGHT_AUTHORITY, else those of this machine")]
    public string? Authority { get; init; }

    [CommandOption("-s|--studio <STUDIO>")]
    [Description("The studio; else $POURWRIGHT_STUDIO, else the only one there is")]
    public string? Studio { get; init; }

    [CommandOption("--site <SITE>")]
    [Description("The site; else, but for exports and links of calendars, $POURWRIGHT_SITE; else, where one is needed, the only one there is")]
    public string? Site { get; init; }

    [CommandOption("--json")]
    [Description("Print the answer as protobuf JSON instead of tables")]
    public bool Json { get; init; }

    public string Address => Server ?? Variable("POURWRIGHT_SERVER") ?? "http://127.0.0.1:5080";

    public TlsFiles Tls => new(
        Certificate ?? Variable("POURWRIGHT_CERTIFICATE"), CertificateKey ?? Variable("POURWRIGHT_CERTIFICATE_KEY"), Authority ?? Variable("POURWRIGHT_AUTHORITY"));

    public string? StudioOrDefault => Studio ?? Variable("POURWRIGHT_STUDIO");

    public string? SiteOrDefault => Site ?? Variable("POURWRIGHT_SITE");

    protected static string? Variable(string name) =>
        Environment.GetEnvironmentVariable(name) is { Length: > 0 } value ? value : null;
}

/// <summary>Options of every command that writes.</summary>
public class WriteSettings : StudioSettings
{
    private readonly Lazy<string> _fresh = new(() => Guid.NewGuid().ToString());

    [CommandOption("--request-id <UUID>")]
    [Description("Repeat an earlier command whose answer was lost: with its id nothing is done twice")]
    public string? GivenRequestId { get; init; }

    public string RequestId => GivenRequestId ?? _fresh.Value;
}

/// <summary>Options of every command that records what a person did.</summary>
public class PersonSettings : WriteSettings
{
    [CommandOption("-b|--by <NAME>")]
    [Description("Who did it; else $POURWRIGHT_BY")]
    public string? By { get; init; }

    public string Person => By ?? Variable("POURWRIGHT_BY")
        ?? throw new UsageException("Say who did it: --by NAME, or set POURWRIGHT_BY.");
}
