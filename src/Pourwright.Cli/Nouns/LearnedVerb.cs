using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Nouns;

/// <summary><c>pourwright resin learned</c>: what people's checks taught of a resin system and its lots.</summary>
public static class LearnedVerb
{
    public static async Task RunAsync(Desk desk, string resin) => await desk.PrintAsync(
        await desk.Server.Learning.GetResinLearningAsync(new() { Name = $"{desk.Names.ResinSystem(resin)}/learning" }, desk.Call), (learned, _) => Card(learned));

    public static IRenderable Card(ResinLearning learned) => Sheets.Stack(
        Sheets.Card($"What checks taught of {ResourceNames.Brief(learned.Name[..learned.Name.LastIndexOf('/')])}",
            ("Seen so far", $"{learned.ObservationCount} observations"),
            ("It cures", $"{Against(learned.Rate)} against its data sheet"),
            ("Rests on", $"{learned.EffectiveDrawCount:0} effective draws of 1,000")),
        Sheets.Rows("Nothing was learned of any lot yet: record how pieces feel.", ["Lots poured together", "Cure against other lots", "Pieces", "Verdict"],
            learned.Lots.Select(lots => new Cell[]
            {
                string.Join(" + ", lots.Lots.Select(ResourceNames.Brief)), Against(lots.Rate), $"{lots.PieceCount}", Verdict(lots.Verdict),
            })),
        new Cell("A slow or quick lot is a reason to look, not proof of a bad one.", Tone.Faint).Render());

    private static string Against(RateRange rate) =>
        $"at {100 * rate.LikelyRatio:0} % of the rate ({100 * rate.LowRatio:0} to {100 * rate.HighRatio:0} %)";

    private static Cell Verdict(LotPace.Types.Verdict verdict) => verdict switch
    {
        LotPace.Types.Verdict.Slow => new("SLOW: look at it", Tone.Bad),
        LotPace.Types.Verdict.Quick => new("QUICK: look at it, gets hotter", Tone.Bad),
        _ => new("usual"),
    };
}
