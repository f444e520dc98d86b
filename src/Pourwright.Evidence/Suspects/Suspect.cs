using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Suspects;

/// <summary>How much the record says. There is no fourth word, and none of the three is a probability.</summary>
public enum Grade
{
    TooLittle,
    Some,
    Strong,
}

/// <summary>A level of a factor and how many pieces have it.</summary>
public sealed record SuspectLevel(Factor Factor, string Level, int Pieces);

/// <summary>What stands beside a suspect: whether it holds where others cannot explain it.</summary>
public enum Confirmed
{
    CannotTell,
    Holds,
    DoesNotHold,
}

/// <summary>A second look at a suspect.</summary>
/// <param name="Beside">What was held fixed: the instructor or the site, or the numbers named.</param>
/// <param name="OddsRatio">Odds of a defect with the suspect over those without it, the rest alike.</param>
/// <param name="P">Two-sided.</param>
public sealed record Confirmation(IReadOnlyList<Factor> Beside, Confirmed Result, double OddsRatio, Interval? Interval, double P);

/// <summary>Something that pieces share, and what the counts say of it.</summary>
/// <param name="Level">What it is.</param>
/// <param name="Counts">All pieces that have a record of the factor.</param>
/// <param name="LnP">ln of the chance of so uneven a split or a more uneven one by chance alone, one-sided.</param>
/// <param name="Round">Called out as the first, second, ...; null where it was not.</param>
/// <param name="CountsLeft">The same once the pieces of all suspects called out before are left out.</param>
/// <param name="LnPLeft">ln of the chance then; 0 where too few pieces are left to test.</param>
/// <param name="AdjustedP">Then, allowing for all levels compared; 1 where it was not tested.</param>
/// <param name="WeightedP">The same with physical evidence; equal where there is none.</param>
/// <param name="CallingP">p up to which it would be called out, the others as they are.</param>
/// <param name="Rate">Interval of the true share of defective pieces among those with it, 95 %.</param>
/// <param name="Unrecorded">Pieces without a record of the factor, and how many of them are defective.</param>
/// <param name="Evidence">Its defective pieces by what is known of them beside the counts.</param>
/// <param name="Aliases">Levels that nearly the same pieces have.</param>
/// <param name="Confirmations">Empty below a hundred pieces and where it was not called out.</param>
public sealed record Suspect(
    SuspectLevel Level, TwoByTwo Counts, double LnP, int? Round, TwoByTwo CountsLeft, double LnPLeft, double AdjustedP, double WeightedP,
    double CallingP, Interval Rate, (int Pieces, int Defective) Unrecorded, EvidenceCount Evidence, IReadOnlyList<SuspectLevel> Aliases,
    IReadOnlyList<Confirmation> Confirmations, Grade Grade)
{
    private const int PiecesLookedAhead = 100;

    /// <summary>Other pieces of the instructors who taught the pieces with it; null where no instructor is on record.</summary>
    public (int Pieces, int Defective)? SameInstructorsOtherPieces { get; init; }

    /// <summary>
    /// Least number of further pieces with it after which the answer would be another: all fine where it was called out, all
    /// defective where it was not. Null where not even a hundred would do, or too few pieces are left to test.
    /// </summary>
    public int? PiecesThatWouldChangeIt
    {
        get
        {
            var numbers = CountsLeft.With == 0 ? [] : Enumerable.Range(1, PiecesLookedAhead);
            var more = numbers.FirstOrDefault(more => FisherExact.Greater(After(more)) <= CallingP != Round is not null);
            return more == 0 ? null : more;
        }
    }

    private TwoByTwo After(int more) => Round is not null
        ? new(CountsLeft.DefectiveWith, CountsLeft.FineWith + more, CountsLeft.DefectiveWithout, CountsLeft.FineWithout)
        : new(CountsLeft.DefectiveWith + more, CountsLeft.FineWith, CountsLeft.DefectiveWithout, CountsLeft.FineWithout);
}

/// <summary>All suspects of one kind of defect, best first.</summary>
/// <param name="LevelsTested">Levels with enough pieces that were compared at once.</param>
/// <param name="CouldTell">Some split of so many defects over so many pieces could have been called out; otherwise the data are too few whatever happened.</param>
public sealed record SuspectRanking(int Pieces, int Defective, int LevelsTested, bool CouldTell, IReadOnlyList<Suspect> Suspects)
{
    public IEnumerable<Suspect> CalledOut => Suspects.Where(s => s.Round is not null);
}
