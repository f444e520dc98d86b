namespace Pourwright.Cure.Learning;

/// <summary>Whether a lot cures as its resin does.</summary>
public enum LotVerdict
{
    /// <summary>Nothing says otherwise yet.</summary>
    Usual,

    /// <summary>Slow with 95 % probability.</summary>
    Slow,

    /// <summary>Quick with 95 % probability: hotter pours too.</summary>
    Quick,
}

/// <summary>How quick a lot is against the other lots of its resin, from checks alone, before any defect.</summary>
/// <remarks>
/// d = u_lot − Σ w u_other, the others by how well they are known, w ∝ 1/var − 1/prior var; against the prior where there are
/// none. A difference of lots of one studio is known better than either: what they share, resin and sites, falls out of it.
/// Noted when P(rate below 1/<see cref="NotedRatio"/>) or P(rate above it) is <see cref="Certainty"/> or more: our choice by
/// simulation. Of thirty invented lots 25 % slow half were noted by their fourth piece, 28 by their sixteenth, and two of thirty
/// good ones. With half of the draws a long history is surer of itself than it should be: 7 good lots of 50. So a word is a
/// reason to look, not to reject.
/// </remarks>
/// <param name="RateFactor">exp of the mean of d: 0.8 is a rate of four fifths.</param>
/// <param name="LnSd">Standard deviation of d.</param>
/// <param name="SlowProbability">That the rate is below 1/<see cref="NotedRatio"/>.</param>
/// <param name="QuickProbability">That it is above <see cref="NotedRatio"/>.</param>
public sealed record LotPace(double RateFactor, double LnSd, double SlowProbability, double QuickProbability)
{
    /// <summary>From this ratio on a lot is worth a word.</summary>
    public const double NotedRatio = 1.05;

    /// <summary>How sure one must be.</summary>
    public const double Certainty = 0.95;

    /// <summary>What to say of it.</summary>
    public LotVerdict Verdict => SlowProbability >= Certainty ? LotVerdict.Slow
        : QuickProbability >= Certainty ? LotVerdict.Quick : LotVerdict.Usual;

    internal static LotPace Of(WeightedDraws draws, string lot, IEnumerable<string> others, double lnSd)
    {
        var known = others.Select(other => (Scores: draws.Scores[other], Weight: Learned(draws, other))).ToArray();
        var total = known.Sum(other => other.Weight);
        double Apart(double score, int draw) =>
            lnSd * (score - (total > 0 ? known.Sum(other => other.Weight * other.Scores[draw]) / total : 0));
        IReadOnlyList<double> differences = [.. draws.Scores[lot].Select(Apart)];
        var apart = draws with { Scores = new Dictionary<string, IReadOnlyList<double>> { [lot] = differences } };
        var noted = Math.Log(NotedRatio);
        return new(
            Math.Exp(apart.Mean(lot)), Math.Sqrt(apart.Variance(lot)),
            apart.Share(lot, d => d < -noted), apart.Share(lot, d => d > noted));
    }

    // Scores have a prior variance of 1.
    private static double Learned(WeightedDraws draws, string lot) => Math.Max(0, 1 / draws.Variance(lot) - 1);
}
