using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>A level as it stands in one round.</summary>
/// <param name="Weight">By physical evidence; the order goes by p divided by it.</param>
/// <param name="FairWeight">The same brought to mean 1 over the levels that compete.</param>
/// <param name="Adjusted">p by Benjamini and Hochberg over the levels that compete; 1 for those that do not.</param>
/// <param name="Weighted">The same with each p divided by its fair weight.</param>
internal sealed record TestedLevel(PieceLevel Level, TwoByTwo Counts, double LnP, double Weight, double FairWeight, double Adjusted, double Weighted);

/// <summary>All levels with enough pieces, best suspect first.</summary>
/// <remarks>
/// Those compete that could be called out at all: a level of three pieces among few defects cannot, however they fall, and would
/// only make the others pay for one more comparison. With K the least number such that no more than K levels can reach a p of
/// rate/K, these K are compared at once (Gilbert 2005 after Tarone 1990; from memory). Which they are follows from the sums of
/// rows and columns, not from how the defects fell.
/// </remarks>
internal sealed class SuspectRound
{
    private SuspectRound(bool[] standing, int competing, IReadOnlyList<TestedLevel> ranked) => (Standing, Competing, Ranked) = (standing, competing, ranked);

    public bool[] Standing { get; }

    public int Competing { get; }

    public IReadOnlyList<TestedLevel> Ranked { get; }

    public static SuspectRound Of(PieceTable table, EvidenceWeights weights, bool[] standing, RankingTerms terms)
    {
        var counted = table.Levels.Select(level => new TestedLevel(level, table.Count(level, standing), 0, 1, 1, 1, 1))
            .Where(t => t.Counts.With >= terms.LeastPieces && t.Counts.Without > 0)
            .Select(t => t with { LnP = FisherExact.LnGreater(t.Counts) }).ToArray();
        counted = [.. counted.Zip(weights.Of([.. counted.Select(t => t.Level)], standing), (t, weight) => t with { Weight = weight })];
        var competing = Compete(counted, terms.FalseDiscoveryRate);
        return new(standing, competing.Length, [.. Compare(competing).Concat(counted.Except(competing))
            .OrderBy(t => Math.Round(t.LnP - Math.Log(t.Weight), 9)).ThenByDescending(t => t.Counts.RateDifference).ThenByDescending(t => t.Counts.With)]);
    }

    private static TestedLevel[] Compete(TestedLevel[] levels, double rate)
    {
        var least = levels.Select(t => (Level: t, P: LeastP(t.Counts))).OrderBy(l => l.P).ToArray();
        var compared = Enumerable.Range(1, Math.Max(1, least.Length)).First(k => least.Count(l => l.P <= rate / k) <= k);
        return [.. least.Where(l => l.P <= rate / compared).Select(l => l.Level)];
    }

    // As if all defects that it can hold were its own.
    private static double LeastP(TwoByTwo counts)
    {
        var most = Math.Min(counts.With, counts.Defective);
        return FisherExact.Greater(new(most, counts.With - most, counts.Defective - most, counts.Without - counts.Defective + most));
    }

    private static IEnumerable<TestedLevel> Compare(TestedLevel[] levels)
    {
        var weights = EvidenceWeights.Normalized([.. levels.Select(t => (t.Weight, t.Counts.DefectiveWith))]);
        var adjusted = BenjaminiHochberg.Adjust([.. levels.Select(t => Math.Exp(t.LnP))]);
        var weighted = BenjaminiHochberg.Adjust([.. levels.Zip(weights, (t, w) => Math.Min(1, Math.Exp(t.LnP) / w))]);
        return levels.Select((t, i) => t with { FairWeight = weights[i], Adjusted = adjusted[i], Weighted = weighted[i] });
    }

    /// <summary>The first whose counts may be called out.</summary>
    public TestedLevel? CalledOut(RankingTerms terms) => Ranked.FirstOrDefault(t => t.Weighted <= terms.FalseDiscoveryRate);

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
