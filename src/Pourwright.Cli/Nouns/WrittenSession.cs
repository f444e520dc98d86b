using System.Text.RegularExpressions;
using Pourwright.Cli.Kernel;
using Pourwright.V1;

namespace Pourwright.Cli.Nouns;

/// <summary>A session as people write it: <c>2026-11-14 10:00</c>, and where it differs <c>by ana</c>, <c>at north</c>, <c>for 5h</c>.</summary>
public static partial class WrittenSession
{
    /// <summary>The clock of the site counts.</summary>
    /// <param name="text">What was written.</param>
    /// <param name="kind">Which session.</param>
    /// <param name="names">Completes names.</param>
    /// <param name="site">Where nothing else is written.</param>
    /// <param name="instructor">Who, where nobody else is written; nothing asks for it.</param>
    /// <param name="fold">Which of two times, the night that clocks are put back.</param>
    /// <exception cref="FormatException">It cannot be read, or nobody teaches.</exception>
    public static SessionTime Parse(string text, Session.Types.Kind kind, ResourceNames names, string site, string? instructor, Fold fold)
    {
        var match = Shape().Match(text);
        if (!match.Success || !TimeOnly.TryParseExact(match.Groups["clock"].Value, "H:mm", out var clock))
            throw new FormatException($"'{text}' is not a session: write '2026-11-14 10:00', and where it differs 'by INSTRUCTOR', 'at SITE', 'for 5h'.");
        var session = new SessionTime
        {
            Kind = kind,
            Site = match.Groups["site"].Success ? names.Site(match.Groups["site"].Value) : site,
            Date = WrittenDay.Parse(match.Groups["day"].Value),
            StartTimeOfDay = new() { Hours = clock.Hour, Minutes = clock.Minute },
            Fold = fold,
            Instructor = names.Instructor(match.Groups["by"].Success ? match.Groups["by"].Value
                : instructor ?? throw new FormatException($"Who teaches on '{text}'? Write --by INSTRUCTOR, or '{text} by INSTRUCTOR'.")),
        };
        if (match.Groups["length"].Success)
            session.SessionDuration = Google.Protobuf.WellKnownTypes.Duration.FromTimeSpan(Span.Parse(match.Groups["length"].Value).Length);
        return session;
    }

    [GeneratedRegex(@"^\s*(?<day>[0-9]{4}-[0-9]{2}-[0-9]{2})[ T](?<clock>[0-9]{1,2}:[0-9]{2})(\s+by\s+(?<by>\S+))?(\s+at\s+(?<site>\S+))?(\s+for\s+(?<length>\S+))?\s*$")]
    private static partial Regex Shape();
}
