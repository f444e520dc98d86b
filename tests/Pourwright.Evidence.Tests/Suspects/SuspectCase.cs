using Pourwright.Evidence.Suspects;

namespace Pourwright.Evidence.Tests.Suspects;

/// <summary>Small made-up studios, a line a group of pieces.</summary>
internal sealed class SuspectCase
{
    private readonly List<InspectedPiece> pieces = [];

    public IReadOnlyList<InspectedPiece> Pieces => pieces;

    /// <summary>So many defective and so many fine pieces that share these levels; an empty level is one without a record.</summary>
    public SuspectCase Add(int defective, int fine, params (Factor Factor, string Level)[] levels)
    {
        for (var i = 0; i < defective + fine; i++)
            pieces.Add(new($"piece {pieces.Count + 1}", i < defective)
            {
                Levels = levels.Where(l => l.Level.Length > 0).GroupBy(l => l.Factor)
                    .ToDictionary(g => g.Key, g => (IReadOnlyCollection<string>)[.. g.Select(l => l.Level)]),
            });
        return this;
    }

    public SuspectRanking Rank(IReadOnlyCollection<PhysicalEvidence>? evidence = null) => RankSuspects.Of(pieces, evidence);
}
