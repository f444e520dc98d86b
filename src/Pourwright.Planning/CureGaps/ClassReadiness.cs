using MathNet.Numerics;

namespace Pourwright.Planning.CureGaps;

/// <summary>When all pieces of a class are ready.</summary>
/// <remarks>
/// Inside a scenario pieces are independent, each ready at its nominal time times a lognormal factor, so that the chance of the
/// class needs no draws of pieces: P(all N ready by g) = Σ wₖ Φ(ln(g/tₖ)/σₖ)ᴺ. Between scenarios they move together, which is
/// why eight pieces need less than eight unrelated ones and more than one.
/// </remarks>
public sealed class ClassReadiness
{
    /// <summary>Steps of a least gap, in h: a class is not planned to the minute.</summary>
    public const double StepHours = 0.25;

    /// <summary>A gap beyond this, one year in h, counts as never.</summary>
    public const double LongestHours = 8760;

    private readonly (double Share, double LnNominalHours, double LnSd)[] finite;

    /// <exception cref="ArgumentException">No scenario at all.</exception>
    public ClassReadiness(IReadOnlyCollection<ReadyScenario> scenarios)
    {
        if (scenarios.Count == 0)
            throw new ArgumentException("At least one scenario is needed; one that is never ready is a scenario too.", nameof(scenarios));
        var weight = scenarios.Sum(s => s.Weight);
        finite = [.. scenarios.Where(s => double.IsFinite(s.NominalHours))
            .Select(s => (s.Weight / weight, Math.Log(s.NominalHours), s.LnSd))];
    }

    /// <summary>Chance, 0 to 1, that all pieces are ready that many elapsed h after the end of the pour's slot.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than one piece.</exception>
    public double ChanceAllReady(int pieces, double hours)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(pieces, 1);
        if (!(hours > 0))
            return 0;
        var lnHours = Math.Log(hours);
        var chance = 0.0;
        foreach (var (share, lnNominalHours, lnSd) in finite)
            chance += share * Math.Pow(ChanceReady(lnHours - lnNominalHours, lnSd), pieces);
        return Math.Min(chance, 1);
    }

    /// <summary>
    /// Elapsed h, the next quarter up, from which on that chance is reached; null where it never is: too likely that the piece
    /// stays soft in this room.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than one piece, or a chance outside of 0 to 1, both excluded.</exception>
    public double? LeastHours(int pieces, double chance)
    {
        if (!(chance is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(chance), chance, "A chance lies between 0 and 1; 1 is never reached.");
        return ChanceAllReady(pieces, LongestHours) < chance ? null : StepHours * LeastSteps(pieces, chance);
    }

    // The chance only grows with time, so the first step that reaches it is found by halving.
    private int LeastSteps(int pieces, double chance)
    {
        var (below, enough) = (0, 1);
        while (ChanceAllReady(pieces, StepHours * enough) < chance)
            (below, enough) = (enough, 2 * enough);
        while (enough - below > 1)
        {
            var middle = (below + enough) / 2;
            (below, enough) = ChanceAllReady(pieces, StepHours * middle) < chance ? (middle, enough) : (below, middle);
        }
        return enough;
    }

    // Φ(z) = ½ erfc(−z/√2); without spread a step at the nominal time.
    private static double ChanceReady(double lnRatio, double lnSd) =>
        lnSd == 0 ? (lnRatio >= 0 ? 1 : 0) : 0.5 * SpecialFunctions.Erfc(-lnRatio / (lnSd * Constants.Sqrt2));
}
