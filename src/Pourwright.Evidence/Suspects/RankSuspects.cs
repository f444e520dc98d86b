namespace Pourwright.Evidence.Suspects;

/// <summary>From pieces with a defect, and what is on record of all pieces, to what they share more often than chance brings.</summary>
/// <remarks>
/// Each level of each factor is compared with all other pieces by Fisher's exact test, one-sided, all that could stand out at once
/// by Benjamini and Hochberg. The best suspect is called out, its pieces are left out, and the rest is compared anew: without that, whatever went
/// along with a bad lot would be blamed with it. The order in which suspects are called out is no proof of cause.
/// </remarks>
public static class RankSuspects
{
    /// <exception cref="ArgumentException">Two pieces of one name.</exception>
    public static SuspectRanking Of(
        IReadOnlyList<InspectedPiece> pieces, IReadOnlyCollection<PhysicalEvidence>? evidence = null, RankingTerms? terms = null)
    {
        terms ??= new();
        var table = new PieceTable(pieces);
        var weights = new EvidenceWeights(table, evidence ?? [], terms);
        var rounds = Rounds(table, weights, terms);
        var describe = new SuspectDescription(table, weights, terms, rounds[0]);
        return new(pieces.Count, pieces.Count(p => p.IsDefective), rounds[0].Ranked.Count, rounds[0].Competing > 0,
            [.. Called(rounds, terms).Select((suspect, i) => describe.CalledOut(suspect, rounds[i], i + 1)), .. Others(rounds, terms, describe)]);
    }

    // The last round is the one that calls nobody out any more, or that comes after the last peel.
    private static List<SuspectRound> Rounds(PieceTable table, EvidenceWeights weights, RankingTerms terms)
    {
        List<SuspectRound> rounds = [SuspectRound.Of(table, weights, table.All(), terms)];
        while (rounds.Count <= terms.MostPeels && rounds[^1].CalledOut(terms) is { } suspect)
            rounds.Add(SuspectRound.Of(table, weights, rounds[^1].Without(suspect), terms));
        return rounds;
    }

    private static TestedLevel[] Called(List<SuspectRound> rounds, RankingTerms terms) =>
        [.. rounds.Take(rounds.Count - 1).Select(round => round.CalledOut(terms)!)];

    // As they stand once all that was called out is left out; those with too few pieces left come last.
    private static IEnumerable<Suspect> Others(List<SuspectRound> rounds, RankingTerms terms, SuspectDescription describe)
    {
        var called = Called(rounds, terms).Select(t => t.Level).ToHashSet();
        var last = rounds[^1].Ranked.Where(t => !called.Contains(t.Level)).ToArray();
        var tested = last.Select(t => t.Level).ToHashSet();
        return [
            .. last.Select(t => describe.Other(t.Level, t, rounds[^1])),
            .. rounds[0].Ranked.Where(t => !called.Contains(t.Level) && !tested.Contains(t.Level)).Select(t => describe.Other(t.Level, null, rounds[^1]))];
    }
}
