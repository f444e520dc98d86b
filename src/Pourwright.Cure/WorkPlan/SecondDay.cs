using Pourwright.Cure.Ladder;

namespace Pourwright.Cure.WorkPlan;

/// <summary>One face to be sanded, in mm.</summary>
public sealed record SandedFace(double LengthMm, double WidthMm, bool EndGrain = false);

/// <summary>A piece as it lies on the bench on the second day.</summary>
/// <param name="ThicknessMm">Readings of its thickness all over, in mm.</param>
/// <param name="TargetMm">Thickness that is wanted, in mm.</param>
/// <param name="LengthMm">Length along the planer or sled, in mm.</param>
/// <param name="Faces">What is to be sanded.</param>
/// <param name="Cutter">What planes it.</param>
public sealed record RoughPiece(
    IReadOnlyList<double> ThicknessMm, double TargetMm, double LengthMm, IReadOnlyList<SandedFace> Faces, Cutter Cutter);

/// <summary>Whether a gate is open: forecast and touch test together.</summary>
/// <param name="SafeAtHours">When the forecast makes it safe, in h from the first pour; null = not without warmth.</param>
/// <param name="TouchedHard">A person found it hard enough, where it is thickest, thinnest and coldest.</param>
public sealed record GateReadiness(double? SafeAtHours, bool TouchedHard)
{
    internal bool IsOpenAt(double hours) => TouchedHard && SafeAtHours <= hours;
}

/// <summary>Whether a piece may be worked on.</summary>
/// <param name="Handle">For saw and planer.</param>
/// <param name="Sand">For the disc and all that follows it.</param>
/// <param name="AtHours">When the work begins, in h from the first pour.</param>
public sealed record WorkReadiness(GateReadiness Handle, GateReadiness Sand, double AtHours);

/// <summary>From a hard piece to one that can be handed over.</summary>
public static class SecondDay
{
    /// <summary>Planer, grits and coats in order, as far as the piece is ready for them.</summary>
    /// <exception cref="CureRangeException">Too thin for its target, too short for the planer, or a number out of
    /// range.</exception>
    public static WorkDay Plan(RoughPiece piece, WorkReadiness readiness, WorkSettings? settings = null)
    {
        settings ??= new();
        Check(piece, settings);
        var (handle, sand, at) = (readiness.Handle, readiness.Sand, readiness.AtHours);
        if (!handle.IsOpenAt(at))
            return new([], new(LadderGate.Handle, handle.SafeAtHours));
        WorkStep[] planed = [.. Planing(piece, settings)];
        return sand.IsOpenAt(at)
            ? new([.. planed, .. Sanding(piece, settings), .. Finishing(settings)], null)
            : new(planed, new(LadderGate.Sand, sand.SafeAtHours));
    }

    /// <summary>Passes through the planer.</summary>
    /// <remarks>
    /// The first is set over the highest reading, because no reading meets every high spot: 40 mm are planed at 41.5 first, not
    /// at 40. Each further one goes down by a pass. The first face is clean once the setting is below the lowest reading; then
    /// the piece is turned, and the second face goes down to the target.
    /// </remarks>
    public static IEnumerable<WorkStep> Planing(RoughPiece piece, WorkSettings settings)
    {
        var (thickness, lowest) = (piece.ThicknessMm.Max(), piece.ThicknessMm.Min());
        PlanerPass Pass(int face, double setting)
        {
            var takes = Math.Max(0, thickness - setting);
            thickness = Math.Min(thickness, setting);
            return new(face, setting, takes, settings.PassMinutes);
        }
        var setting = thickness + settings.HighSpotsMm;
        yield return Pass(1, setting);
        while (setting >= lowest)
            yield return Pass(1, setting = Math.Max(setting - settings.PassMm, piece.TargetMm + settings.SecondFaceMm));
        yield return new TurnOver(settings.TurnMinutes);
        while (setting > piece.TargetMm)
            yield return Pass(2, setting = Math.Max(setting - settings.PassMm, piece.TargetMm));
    }

    /// <summary>Every grit from the one that the cutter asks for to the finest.</summary>
    /// <remarks>
    /// The disc moves over by half its diameter D a lane: ⌈W/(D/2)⌉ lanes of length L along, ⌈L/(D/2)⌉ of width W across.
    /// Minutes = length of all lanes/(60 v), end grain times its factor, and the change of grit.
    /// </remarks>
    public static IEnumerable<WorkStep> Sanding(RoughPiece piece, WorkSettings settings)
    {
        int Lanes(double mm) => (int)Math.Ceiling(mm / (settings.DiscMm / 2) - 1e-9);
        var lanes = piece.Faces.Sum(f => Lanes(f.WidthMm) + Lanes(f.LengthMm));
        var millimetres = piece.Faces.Sum(f => (f.EndGrain ? settings.EndGrainFactor : 1)
            * (Lanes(f.WidthMm) * f.LengthMm + Lanes(f.LengthMm) * f.WidthMm));
        return settings.Grits.Where(grit => grit >= settings.FirstGrit(piece.Cutter)).Order().Select(grit =>
            new SandGrit(grit, lanes, millimetres / settings.DiscMmPerSecond / 60 + settings.GritChangeMinutes));
    }

    /// <summary>
    /// Coats: lay, soak, wipe off before the piece rests on a face, wait; the last wait ends with the hand-over.
    /// </summary>
    public static IEnumerable<WorkStep> Finishing(WorkSettings settings)
    {
        for (var number = 1; number <= settings.Finish.Coats; number++)
        {
            yield return new Coat(number, settings.CoatMinutes);
            yield return new Wait(settings.SoakMinutes / 60);
            yield return new WipeOff(settings.WipeMinutes);
            yield return new Wait(number < settings.Finish.Coats ? settings.Finish.RecoatHours : settings.Finish.HandOverHours);
        }
    }

    private static void Check(RoughPiece piece, WorkSettings settings)
    {
        CureRangeException.Check("Number of thickness readings", piece.ThicknessMm.Count, 1, 1000, "");
        CureRangeException.Check("Target thickness", piece.TargetMm, 1, 300, "mm");
        CureRangeException.Check("Highest thickness reading", piece.ThicknessMm.Max(), piece.TargetMm, 400, "mm");
        var least = Math.BitIncrement(piece.TargetMm + settings.SecondFaceMm);
        CureRangeException.Check("Lowest thickness reading (over the target)", piece.ThicknessMm.Min(), least, 400, "mm");
        // A sled has no rollers that must hold the piece.
        var shortest = piece.Cutter is Cutter.RouterSled ? 1 : settings.ShortestPlanedMm;
        CureRangeException.Check("Length of the piece", piece.LengthMm, shortest, 5000, "mm");
        CureRangeException.Check("High spots", settings.HighSpotsMm, 0, 5, "mm");
        CureRangeException.Check("Cut of a pass", settings.PassMm, 0.1, 5, "mm");
        CureRangeException.Check("Diameter of the disc", settings.DiscMm, 50, 300, "mm");
        CureRangeException.Check("Speed of the disc", settings.DiscMmPerSecond, 1, 500, "mm/s");
    }
}
