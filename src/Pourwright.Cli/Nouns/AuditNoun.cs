using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright audit ...</c></summary>
public static class AuditNoun
{
    private const int PageSize = 500;

    public static void Register(Noun noun)
    {
        noun.Describe("Who did what and when, and what was denied");
        noun.Verb<Listed>("list", "Lists the newest entries, 500 unless told otherwise", ListAsync,
            "audit", "list", "--who", "tablet-north", "--denied");
    }

    public static IRenderable Rows(ListAuditEntriesResponse all, SiteClock clock) => Sheets.Rows("No entry.",
        ["When", "Who", "Role", "What", "Outcome", "Calls", "About", "From"],
        all.AuditEntries.Select(entry => new Cell[]
        {
            clock.At(entry.EntryTime, null) ?? "", entry.AccessKey.Length == 0 ? "no good key" : ResourceNames.Brief(entry.AccessKey), Words.Of(entry.Role), entry.Method,
            Outcome(entry), $"{entry.CallCount}", string.Join(", ", entry.Names.Select(ResourceNames.Brief)), entry.Address,
        }));

    private static Cell Outcome(AuditEntry entry) => entry.Outcome switch
    {
        AuditEntry.Types.Outcome.Done => new("DONE", Tone.Good),
        AuditEntry.Types.Outcome.Denied => new($"DENIED {entry.Reason}", Tone.Bad),
        _ => new($"REFUSED {entry.Reason}", Tone.Bad),
    };

    private static async Task ListAsync(Desk desk, Listed s)
    {
        var request = new ListAuditEntriesRequest
        {
            Parent = desk.Names.Studio,
            AccessKey = s.Who is null ? "" : s.Who.StartsWith("accessKeys/", StringComparison.Ordinal) ? s.Who : desk.Names.AccessKey(s.Who),
            Method = s.What ?? "",
            Subject = s.About ?? "",
            StartTime = await desk.BoundAsync(s.From, WhenSense.Happened),
            EndTime = await desk.BoundAsync(s.Until, WhenSense.Happened),
            DeniedOnly = s.Denied,
            PageSize = PageSize,
        };
        await desk.PrintAsync(
            s.All ? await Server.ListAsync(request, desk.Server.Audit.ListAuditEntriesAsync, desk.Stop) : await desk.Server.Audit.ListAuditEntriesAsync(request, desk.Call), Rows);
    }

    private sealed class Listed : StudioSettings
    {
        [CommandOption("--who <KEY>")]
        [Description("Only what came with this key; accessKeys/ID for one of the whole node")]
        public string? Who { get; init; }

        [CommandOption("--what <CALL>")]
        [Description("Only this call, such as RecordMix")]
        public string? What { get; init; }

        [CommandOption("--about <NAME>")]
        [Description("Only what was about this thing, by its full name such as studios/S/lots/lot-a1")]
        public string? About { get; init; }

        [CommandOption("--from <TIME>")]
        [Description("Only from then on")]
        public string? From { get; init; }

        [CommandOption("--until <TIME>")]
        [Description("Only before then")]
        public string? Until { get; init; }

        [CommandOption("--denied")]
        [Description("Only what was denied")]
        public bool Denied { get; init; }

        [CommandOption("--all")]
        [Description("All of them, not the newest alone")]
        public bool All { get; init; }
    }
}
