using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary>What was recorded, what is right, who said so, when and why.</summary>
public static class Corrections
{
    /// <summary>Null where nothing was corrected.</summary>
    public static IRenderable? Show(IReadOnlyCollection<Correction> corrections, SiteClock clock, string place) => corrections.Count == 0 ? null
        : Sheets.Rows("", ["Corrected", "Recorded", "Right", "By", "When", "Why"],
            corrections.SelectMany(correction => correction.Changes.Select(change => new Cell[]
            {
                change.What, change.Recorded, new(change.Right, Tone.Strong), correction.Person, clock.At(correction.CorrectTime, place), correction.Reason,
            })));
}

/// <summary>Options of every command that corrects a record.</summary>
public class CorrectSettings : PersonSettings
{
    [CommandOption("-w|--why <REASON>", true)]
    [Description("Why, in your own words: it stands beside the record for good")]
    public required string Why { get; init; }

    [CommandOption("--check")]
    [Description("Ask first: would this be accepted? Nothing is kept")]
    public bool Ask { get; init; }
}
