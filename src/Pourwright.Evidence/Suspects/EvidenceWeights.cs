namespace Pourwright.Evidence.Suspects;

/// <summary>How physical evidence moves suspects.</summary>
/// <remarks>
/// A suspect's support is (for − against) / (for + against) over its defective pieces that speak either way, 0 where none does;
/// a piece that speaks both ways speaks none. Its weight is bound^support, divided by the mean over all suspects that have a
/// defective piece, so that weights have mean 1; p is divided by it before the levels compete (a weighted
/// Benjamini–Hochberg procedure: Genovese, Roeder and Wasserman 2006; from memory). So evidence that says the same of everyone
/// changes nothing, no more false alarms come of it as long as it does not depend on how the counts fell, and wrong
/// evidence can hold a true suspect back, or push a false one, by no more than the square of the bound. The bound is our own
/// choice, no source: at 3 an engine no better than a coin cost no lot its place in a thousand studios, at 10 it cost 3 of 100.
/// </remarks>
internal sealed class EvidenceWeights
{
    private readonly PieceTable table;
    private readonly double bound;
    private readonly Dictionary<(string Piece, Factor Factor), PhysicalEvidence[]> evidence;

    public EvidenceWeights(PieceTable table, IEnumerable<PhysicalEvidence> evidence, double bound)
    {
        (this.table, this.bound) = (table, bound);
        this.evidence = evidence.GroupBy(e => (e.Piece, e.Factor)).ToDictionary(group => group.Key, group => group.ToArray());
    }

    /// <summary>bound^support; 1 where nothing is known beside the counts. Not yet brought to mean 1.</summary>
    public double Of(PieceLevel level, bool[] standing) => evidence.Count == 0 ? 1 : Math.Pow(bound, Said(level, standing).Support);

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
}
