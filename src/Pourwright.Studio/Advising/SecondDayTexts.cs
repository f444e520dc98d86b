using Pourwright.Cure.WorkPlan;
using Pourwright.Studio.Refusals;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Advising;

/// <summary>What is said about a second day.</summary>
internal static class SecondDayTexts
{
    /// <summary>What stops the work, and what to do about it.</summary>
    public static V1.SecondDayPlan.Types.Stop Stop(V1.PieceReadiness.Types.Rung rung) => new()
    {
        Gate = rung.Gate,
        State = rung.State,
        SafeTime = rung.Forecast?.SafeTime,
        Text = rung.State switch
        {
            RungState.CheckDue => "Its safe time is past, but nobody felt it hard since. Test by touch where it is thickest, thinnest and coldest, write it down, and ask again.",
            RungState.Contradicted => "Its safe time is past, but the last touch was not hard. Wait, and test by touch again.",
            _ when rung.Forecast is null => "No forecast knows its newest pour yet. Wait for it, then test by touch.",
            _ when rung.Forecast.SafeTime is null => "It will not get there without warmth in this room. Warm the room evenly within the data sheet, then test by touch.",
            _ => "Its safe time lies after the start. Wait until then, and test by touch first.",
        },
    };

    public static V1.WorkStep ToProto(WorkStep step) => step switch
    {
        PlanerPass pass => new() { PlanerPass = new() { SecondFace = pass.Face == 2, SettingMm = pass.SettingMm, TakesMm = pass.TakesMm } },
        TurnOver => new() { TurnOver = new() },
        SandGrit sand => new() { SandGrit = new() { Grit = sand.Grit, LaneCount = sand.Lanes } },
        Coat coat => new() { Coat = new() { CoatCount = coat.Number } },
        WipeOff => new() { WipeOff = new() },
        _ => new() { Wait = new() },
    };

    /// <summary>What to know, where the act is.</summary>
    public static IEnumerable<V1.Caution> Cautions(WorkDay day)
    {
        if (day.Block is not null) yield return Refusals.Cautions.Of(Reasons.UncuredDust, Block.Caution);
        if (day.Steps.Any(step => step is PlanerPass)) yield return Machines();
        if (day.Steps.Any(step => step is WipeOff)) yield return Refusals.Cautions.Of(Reasons.OilyRags, WipeOff.Caution);
    }

    private static V1.Caution Machines() => Refusals.Cautions.Of(Reasons.MachineWork,
        "Only people trained on the machine feed it; no screws, grit or silicone on the faces. Dust of cured resin and of wood harms airways too: extract it "
        + "and wear a fitted mask. The manual of the machine, local code and licensed practice decide.");
}
