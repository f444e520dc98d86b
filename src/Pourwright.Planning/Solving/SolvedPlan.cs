using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>A plan and how good it is known to be: first as many students as can be, then as few points.</summary>
/// <param name="Plan">Keeps every rule.</param>
/// <param name="Students">Of the classes that are held.</param>
/// <param name="StudentsBound">No plan of this season holds more.</param>
/// <param name="Points">See <see cref="PlanPoints"/>.</param>
/// <param name="PointsBound">No plan with as many students has fewer; null where nothing is known.</param>
public sealed record SolvedPlan(ClassPlan Plan, int Students, int StudentsBound, int Points, int? PointsBound)
{
    public bool StudentsProved => Students == StudentsBound;

    public bool PointsProved => StudentsProved && Points == PointsBound;

    /// <summary>Students that a better plan could still hold, as a share of the bound.</summary>
    public double Gap => StudentsBound == 0 ? 0 : (StudentsBound - Students) / (double)StudentsBound;
}

/// <summary>How a solve stands.</summary>
/// <param name="Stage">What it is at.</param>
/// <param name="Classes">Classes held by the best plan so far.</param>
/// <param name="Students">Students of that plan.</param>
/// <param name="StudentsBound">No plan holds more.</param>
/// <param name="Points">Points of the best plan so far.</param>
public sealed record PlanProgress(PlanStage Stage, int Classes, int Students, int StudentsBound, int Points);

/// <summary>What a solve is at.</summary>
public enum PlanStage
{
    Starting,
    Searching,
    Bounding,
    Proving,
    Done,
}

/// <summary>
/// How much work goes into a plan. It counts work and not time, so that the same season, effort and seed give the same plan on
/// an idle and on a busy machine; who must have an answer by a certain time cancels and gets the best until then.
/// </summary>
public sealed record PlanEffort
{
    public int Seed { get; init; } = 1;

    /// <summary>Searches on end, each twice as long as the one before and from the best plan on.</summary>
    public int Coolings { get; init; } = 7;

    /// <summary>Rounds of the first search for each class.</summary>
    public int RoundsAClass { get; init; } = 100;

    /// <summary>Steps of the price search that bounds the students.</summary>
    public int BoundSteps { get; init; } = 3000;

    /// <summary>Seasons of up to so many classes, or parts of a season that share nothing with the rest, are proved.</summary>
    public int ProvedClasses { get; init; } = 20;

    /// <summary>Work of the constraint solver on each of the two stages of a proof, in its deterministic s (near wall s on one core).</summary>
    public double ProofSeconds { get; init; } = 60;

    /// <summary>Searches side by side.</summary>
    public int Lanes { get; init; } = 2;
}
