using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>A level of a factor, and which pieces have it, by their place in the list.</summary>
internal sealed record PieceLevel(Factor Factor, string Name, int[] Pieces);

/// <summary>Pieces as sets by level, so that counting the same again with some left out is quick.</summary>
internal sealed class PieceTable
{
    private readonly Dictionary<Factor, int[]> recorded;

    /// <exception cref="ArgumentException">Two pieces of one name.</exception>
    public PieceTable(IReadOnlyList<InspectedPiece> pieces)
    {
        Pieces = pieces;
        if (pieces.GroupBy(p => p.Name).FirstOrDefault(g => g.Count() > 1) is { } twice)
            throw new ArgumentException($"{twice.Key} is listed {twice.Count()} times; list each piece once, as defective if any inspection found it so.", nameof(pieces));
        recorded = Enum.GetValues<Factor>().ToDictionary(
            factor => factor, factor => Places().Where(i => pieces[i].LevelsOf(factor).Count > 0).ToArray());
        Levels = [.. Enum.GetValues<Factor>().SelectMany(LevelsOf)];
    }

    public IReadOnlyList<InspectedPiece> Pieces { get; }

    public IReadOnlyList<PieceLevel> Levels { get; }

    public bool[] All() => [.. Pieces.Select(_ => true)];

    /// <summary>Counts among the pieces that still stand; those without a record of the factor are on neither side.</summary>
    public TwoByTwo Count(PieceLevel level, bool[] standing)
    {
        var (with, defectiveWith) = Count(level.Pieces, standing);
        var (known, defective) = Count(recorded[level.Factor], standing);
        return new(defectiveWith, with - defectiveWith, defective - defectiveWith, known - with - defective + defectiveWith);
    }

    public (int Pieces, int Defective) Unrecorded(Factor factor)
    {
        var (known, defective) = Count(recorded[factor], All());
        return (Pieces.Count - known, Pieces.Count(p => p.IsDefective) - defective);
    }

    private (int Pieces, int Defective) Count(int[] places, bool[] standing)
    {
        var (pieces, defective) = (0, 0);
        foreach (var i in places)
            if (standing[i])
                (pieces, defective) = (pieces + 1, defective + (Pieces[i].IsDefective ? 1 : 0));
        return (pieces, defective);
    }

    private IEnumerable<PieceLevel> LevelsOf(Factor factor) => recorded[factor]
        .SelectMany(i => Pieces[i].LevelsOf(factor).Distinct().Select(level => (level, i)))
        .GroupBy(pair => pair.level, pair => pair.i, StringComparer.Ordinal)
        .OrderBy(group => group.Key, StringComparer.Ordinal)
        .Select(group => new PieceLevel(factor, group.Key, [.. group]));

    private IEnumerable<int> Places() => Enumerable.Range(0, Pieces.Count);
}
