using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>Why a class has no place beside a plan, and what would give it one.</summary>
/// <param name="Class">Which.</param>
/// <param name="Fits">A placement within all rules, found although none was thought to be; then nothing else is said.</param>
/// <param name="EvenAlone">Whether it has none either where nothing else is planned.</param>
/// <param name="Conflicts">Every minimal set of rules that exclude each placement together, the smallest first.</param>
/// <param name="Obstacles">Every minimal set of rules that some placement breaks, with that placement.</param>
/// <param name="Proposals">What was tried and gives the class its place, the least first.</param>
public sealed record Explanation(
    int Class, Placement? Fits, bool EvenAlone, IReadOnlyList<RuleSet> Conflicts, IReadOnlyList<Obstacle> Obstacles,
    IReadOnlyList<Proposal> Proposals);

/// <summary>What is in the way of one placement.</summary>
/// <param name="Rules">What it breaks; no placement breaks less than these.</param>
/// <param name="Placement">The least strained one.</param>
/// <param name="Faults">What is missing there, and which classes take it.</param>
public sealed record Obstacle(RuleSet Rules, Placement Placement, IReadOnlyList<PlanFault> Faults);

/// <summary>Changes that were made in a copy of the season and gave the class this placement, by the word of the checker.</summary>
public sealed record Proposal(IReadOnlyList<Change> Changes, Placement Placement);
