using Pourwright.Cure.Ladder;

namespace Pourwright.Cure.WorkPlan;

/// <summary>One thing to do; minutes at the bench, waiting not counted.</summary>
public abstract record WorkStep(double Minutes);

/// <summary>One pass through the planer.</summary>
/// <param name="Face">1 or 2.</param>
/// <param name="SettingMm">Thickness that the planer is set to, in mm.</param>
/// <param name="TakesMm">What it takes off the highest point that was read, in mm; 0 = only high spots that no reading
/// met.</param>
/// <param name="Minutes">In min.</param>
public sealed record PlanerPass(int Face, double SettingMm, double TakesMm, double Minutes) : WorkStep(Minutes);

/// <summary>The first face is clean all over: turn the piece.</summary>
public sealed record TurnOver(double Minutes) : WorkStep(Minutes);

/// <summary>One grit over all faces, until every scratch of the one before is gone.</summary>
/// <param name="Grit">Grit number.</param>
/// <param name="Lanes">Strokes of the disc, along and across together.</param>
/// <param name="Minutes">In min.</param>
public sealed record SandGrit(int Grit, int Lanes, double Minutes) : WorkStep(Minutes);

/// <summary>A coat of finish.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Minutes">In min.</param>
public sealed record Coat(int Number, double Minutes) : WorkStep(Minutes);

/// <summary>Wipe off all excess oil, resin above all, before the piece rests on any face.</summary>
public sealed record WipeOff(double Minutes) : WorkStep(Minutes)
{
    /// <summary>What to say beside it.</summary>
    public const string Caution =
        "Rags with oil can set themselves on fire within hours: lay them flat to dry outdoors, or put them into a closed metal "
        + "can of water, before anybody leaves. The safety data sheet of the finish and the local fire code decide.";
}

/// <summary>Leave it alone, in h.</summary>
public sealed record Wait(double Hours) : WorkStep(0);

/// <summary>A gate that is not reached, and what it stops.</summary>
/// <param name="Gate">Handle stops the planer and all that follows; sand stops the disc and all that follows.</param>
/// <param name="SafeAtHours">When the forecast makes it safe, in h from the first pour; null = not without warmth.</param>
public sealed record Block(LadderGate Gate, double? SafeAtHours)
{
    /// <summary>What to say beside it.</summary>
    public const string Caution =
        "Not hard enough: no sawing, planing or sanding yet. Dust of part-cured resin can harm airways and skin, also for good; "
        + "soft resin gums the cutter and balls up under the disc. Wait, then test by touch where it is thickest, thinnest and "
        + "coldest. Extraction, masks and gloves: the safety data sheet, local code and licensed practice decide.";
}

/// <summary>The second day of one piece.</summary>
/// <param name="Steps">What may be done, in order.</param>
/// <param name="Block">What stops the rest; null = nothing.</param>
public sealed record WorkDay(IReadOnlyList<WorkStep> Steps, Block? Block)
{
    /// <summary>Minutes of work.</summary>
    public double Minutes => Steps.Sum(s => s.Minutes);

    /// <summary>Hours of waiting, coats and hand-over.</summary>
    public double WaitHours => Steps.OfType<Wait>().Sum(w => w.Hours);
}
