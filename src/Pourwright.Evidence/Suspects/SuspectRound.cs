using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>A level as it stands in one round.</summary>
/// <param name="Adjusted">p by Benjamini and Hochberg over the levels of the round.</param>
/// <param name="Weighted">The same with each p divided by its weight.</param>
internal sealed record TestedLevel(PieceLevel Level, TwoByTwo Counts, double LnP, double Weight, double Adjusted, double Weighted)
{
    public double LnWeightedP => LnP - Math.Log(Weight);
}

/// <summary>All levels with enough pieces, compared at once, best suspect first.</summary>
internal sealed class SuspectRound
{
    private SuspectRound(bool[] standing, IReadOnlyList<TestedLevel> ranked) => (Standing, Ranked) = (standing, ranked);

    public bool[] Standing { get; }

    public IReadOnlyList<TestedLevel> Ranked { get; }

    public static SuspectRound Of(PieceTable table, EvidenceWeights weights, bool[] standing, RankingTerms terms)
    {
        var counted = table.Levels.Select(level => (Level: level, Counts: table.Count(level, standing)))
            .Where(l => l.Counts.With >= terms.LeastPieces && l.Counts.Without > 0).ToArray();
        var lnP = counted.Select(l => FisherExact.LnGreater(l.Counts)).ToArray();
        var weight = weights.Of([.. counted.Select(l => l.Level)], standing);
        var adjusted = BenjaminiHochberg.Adjust([.. lnP.Select(Math.Exp)]);
        var weighted = BenjaminiHochberg.Adjust([.. lnP.Zip(weight, (ln, w) => Math.Min(1, Math.Exp(ln) / w))]);
        var tested = counted.Select((l, i) => new TestedLevel(l.Level, l.Counts, lnP[i], weight[i], adjusted[i], weighted[i]));
        return new(standing, [.. tested.OrderBy(t => Math.Round(t.LnWeightedP, 9)).ThenByDescending(t => t.Counts.RateDifference).ThenByDescending(t => t.Counts.With)]);
    }

    /// <summary>The first, if its counts may be called out.</summary>
    public TestedLevel? CalledOut(RankingTerms terms) =>
        Ranked.Count > 0 && Ranked[0].Weighted <= terms.FalseDiscoveryRate ? Ranked[0] : null;

    /// <summary>Other levels that share so many pieces with it that counts cannot tell the two apart.</summary>
    public IEnumerable<TestedLevel> Aliases(TestedLevel suspect, RankingTerms terms)
    {
        var pieces = suspect.Level.Pieces.Where(i => Standing[i]).ToHashSet();
        return Ranked.Where(other => other != suspect
            && other.Level.Pieces.Count(pieces.Contains) >= terms.AliasShare * Math.Max(pieces.Count, other.Counts.With));
    }

    public bool[] Without(TestedLevel suspect)
    {
        var left = (bool[])Standing.Clone();
        foreach (var i in suspect.Level.Pieces)
            left[i] = false;
        return left;
    }
}
