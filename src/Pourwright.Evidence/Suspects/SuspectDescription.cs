using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>What is said of each suspect once the rounds are over.</summary>
internal sealed class SuspectDescription(PieceTable table, EvidenceWeights weights, RankingTerms terms, SuspectRound first)
{
    private readonly Dictionary<PieceLevel, TestedLevel> atFirst = first.Ranked.ToDictionary(t => t.Level);

    public Suspect CalledOut(TestedLevel suspect, SuspectRound round, int number)
    {
        var confirmations = table.Pieces.Count >= terms.ConfirmFromPieces ? Confirmations.Of(table, suspect.Level, round.Standing) : [];
        SuspectLevel[] aliases = [.. round.Aliases(suspect, terms).Select(t => Level(t.Level))];
        var said = weights.Said(suspect.Level, round.Standing);
        return Of(suspect.Level, suspect, round) with
        {
            Round = number, Aliases = aliases, Confirmations = confirmations, Grade = GradeOf(suspect, aliases, confirmations, said),
            SameInstructorsOtherPieces = SameInstructors(suspect.Level),
        };
    }

    public Suspect Other(PieceLevel level, TestedLevel? now, SuspectRound round) => Of(level, now, round);

    // Below a hundred pieces nothing is confirmed, so nothing is strong: a lot and who poured it cannot be told apart there.
    private Grade GradeOf(TestedLevel suspect, SuspectLevel[] aliases, IReadOnlyList<Confirmation> confirmations, EvidenceCount said) =>
        suspect.Adjusted <= terms.StrongAdjustedP && aliases.Length == 0 && said.Support >= 0
        && confirmations.Any(c => c.Result == Confirmed.Holds) && confirmations.All(c => c.Result != Confirmed.DoesNotHold)
            ? Grade.Strong
            : Grade.Some;

    private Suspect Of(PieceLevel level, TestedLevel? now, SuspectRound round)
    {
        var before = atFirst[level];
        return new(
            Level(level), before.Counts, before.LnP, null, now?.Counts ?? table.Count(level, round.Standing), now?.LnP ?? 0, now?.Adjusted ?? 1,
            now?.Weighted ?? 1, now is null ? 0 : CallingP(now, round), Proportion.Wilson(before.Counts.DefectiveWith, before.Counts.With),
            table.Unrecorded(level.Factor), weights.Said(level, round.Standing), [], [], Grade.TooLittle);
    }

    // The others as they are: each called out lets the next be called out at a greater p.
    private double CallingP(TestedLevel now, SuspectRound round) => now.FairWeight * terms.FalseDiscoveryRate / Math.Max(1, round.Competing)
        * Math.Max(1, round.Ranked.Count(t => t.Weighted <= terms.FalseDiscoveryRate));

    private (int, int)? SameInstructors(PieceLevel level)
    {
        var (instructors, with) = (level.Pieces.SelectMany(i => table.Pieces[i].LevelsOf(Factor.Instructor)).ToHashSet(), level.Pieces.ToHashSet());
        if (instructors.Count == 0 || level.Factor == Factor.Instructor)
            return null;
        var others = table.Pieces.Where((p, i) => !with.Contains(i) && p.LevelsOf(Factor.Instructor).Any(instructors.Contains)).ToArray();
        return (others.Length, others.Count(p => p.IsDefective));
    }

    private static SuspectLevel Level(PieceLevel level) => new(level.Factor, level.Name, level.Pieces.Length);
}
