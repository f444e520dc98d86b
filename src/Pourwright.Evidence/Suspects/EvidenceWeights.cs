namespace Pourwright.Evidence.Suspects;

/// <summary>How physical evidence moves suspects.</summary>
/// <remarks>
/// A suspect's support is (for − against) / (for + against) over its defective pieces that speak either way; a piece that speaks
/// both ways speaks none. It is drawn towards the support of all suspects together as if some further pieces spoke like
/// these, so that one piece says little, and a suspect of which nothing is known counts as the usual one. Its weight is
/// bound^support, divided by the mean over all suspects that have a defective piece; p is divided by it before the levels compete
/// (a weighted Benjamini–Hochberg procedure: Genovese, Roeder and Wasserman 2006; from memory). So evidence that says the same
/// of everyone changes nothing; no more false alarms come of it as long as it does not depend on how the counts fell; and wrong
/// evidence can hold a true suspect back, or push a false one, by less than the square of the bound.
/// </remarks>
internal sealed class EvidenceWeights
{
    private readonly PieceTable table;
    private readonly RankingTerms terms;
    private readonly Dictionary<(string Piece, Factor Factor), PhysicalEvidence[]> evidence;

    public EvidenceWeights(PieceTable table, IEnumerable<PhysicalEvidence> evidence, RankingTerms terms)
    {
        (this.table, this.terms) = (table, terms);
        this.evidence = evidence.GroupBy(e => (e.Piece, e.Factor)).ToDictionary(group => group.Key, group => group.ToArray());
    }

    /// <summary>bound^support, a level each; not yet brought to mean 1. All 1 where nothing is known beside the counts.</summary>
    public double[] Of(IReadOnlyList<PieceLevel> levels, bool[] standing)
    {
        if (evidence.Count == 0)
            return [.. levels.Select(_ => 1.0)];
        var said = levels.Select(level => Said(level, standing)).ToArray();
        var usual = said.Aggregate(new EvidenceCount(), (a, b) => a + b).Support;
        return [.. said.Select(s => Math.Pow(terms.EvidenceBound, Tempered(s, usual)))];
    }

    /// <summary>Weights of mean 1 over those levels that have a defective piece; the others have 1, since evidence cannot be on them.</summary>
    public static double[] Normalized(IReadOnlyList<(double Weight, int Defective)> levels)
    {
        var mean = levels.Where(l => l.Defective > 0).Select(l => l.Weight).DefaultIfEmpty(1).Average();
        return [.. levels.Select(l => l.Defective > 0 ? l.Weight / mean : 1)];
    }

    public EvidenceCount Said(PieceLevel level, bool[] standing)
    {
        var said = Defective(level, standing).Select(i => Said(level, table.Pieces[i].Name)).ToArray();
        return new(said.Count(b => b == Bearing.For), said.Count(b => b == Bearing.Against), said.Count(b => b == Bearing.Unknown));
    }

    private double Tempered(EvidenceCount said, double usual) =>
        (said.For - said.Against + terms.EvidenceDoubtPieces * usual) / (said.For + said.Against + terms.EvidenceDoubtPieces);

    private IEnumerable<int> Defective(PieceLevel level, bool[] standing) =>
        level.Pieces.Where(i => standing[i] && table.Pieces[i].IsDefective);

    private Bearing Said(PieceLevel level, string piece)
    {
        var bearings = evidence.GetValueOrDefault((piece, level.Factor), [])
            .Where(e => e.Level is null || e.Level == level.Name)
            .Select(e => e.Bearing).Where(b => b != Bearing.Unknown).Distinct().ToArray();
        return bearings.Length == 1 ? bearings[0] : Bearing.Unknown;
    }
}

/// <summary>Defective pieces of a suspect by what is known of them beside the counts.</summary>
public readonly record struct EvidenceCount(int For, int Against, int Unknown)
{
    /// <summary>From −1, all that speak are against, to 1.</summary>
    public double Support => For + Against == 0 ? 0 : (double)(For - Against) / (For + Against);

    public static EvidenceCount operator +(EvidenceCount a, EvidenceCount b) => new(a.For + b.For, a.Against + b.Against, a.Unknown + b.Unknown);
}
