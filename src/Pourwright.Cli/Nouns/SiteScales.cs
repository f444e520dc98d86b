using System.ComponentModel;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Cli;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright site scale</c>.</summary>
internal static class SiteScales
{
    public static void Register(Noun noun) => noun.Verb<Scale>("scale", "Says how finely a scale weighs; alone, lists what is said", ScaleAsync,
        "site", "scale", "scale 1", "--step", "1g", "--pot", "5g");

    private static async Task ScaleAsync(Desk desk, Scale s)
    {
        var site = await desk.SiteAsync();
        if (s.Step is { } step)
            await desk.Server.Recalls.SetScaleAsync(
                new() { Parent = site, Scale = new() { Label = s.Name ?? "", ResolutionMassMg = step.Mg, PotResidueMassMg = s.Pot?.Mg ?? 0 }, RequestId = s.RequestId }, desk.Call);
        else if (s.Name is not null || s.Pot is not null)
            throw new UsageException("How finely? Write --step, such as --step 1g.");
        await desk.PrintAsync(
            await Server.ListAsync(new ListScalesRequest { Parent = site }, desk.Server.Recalls.ListScalesAsync, desk.Stop),
            (all, _) => Sheets.Rows("Nothing is said: each scale counts as one of 1 g.", ["Scale", "Step", "A pot keeps"], all.Scales.Select(scale => new Cell[]
            {
                scale.Label.Length == 0 ? "all others" : scale.Label, new Mass(scale.ResolutionMassMg).ToString(), new Mass(scale.PotResidueMassMg).ToString(),
            })));
    }

    private sealed class Scale : WriteSettings
    {
        [CommandArgument(0, "[scale]")]
        [Description("As mixes spell it; left out, all scales of the site that are not named")]
        public string? Name { get; init; }

        [CommandOption("--step <MASS>")]
        [Description("Step of its display, for example 1g")]
        public Mass? Step { get; init; }

        [CommandOption("--pot <MASS>")]
        [Description("What an emptied pot or can keeps back; nothing unless told")]
        public Mass? Pot { get; init; }
    }
}
