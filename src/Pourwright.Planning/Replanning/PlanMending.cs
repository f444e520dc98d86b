using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Replanning;

/// <summary>What became of a plan, and what could be made of it, for a person to choose.</summary>
/// <param name="Broken">Classes that cannot be held as published.</param>
/// <param name="Stuck">
/// Those of them that begin too soon to be moved or given up without a word: every proposal leaves them as they are, broken.
/// Whoever names them gets proposals that move them.
/// </param>
/// <param name="Proposals">Fewest students given up first; none is worse than another in students and in changes.</param>
public sealed record PlanMending(
    IReadOnlyList<BrokenClass> Broken, IReadOnlyList<int> Stuck, IReadOnlyList<MendedPlan> Proposals);

/// <summary>A class that breaks rules.</summary>
public sealed record BrokenClass(int Class, IReadOnlyList<PlanFault> Faults);

/// <summary>One proposal.</summary>
/// <param name="Plan">Keeps every rule but for the classes that are stuck.</param>
/// <param name="Neighbours">How many classes beside the broken ones might move.</param>
/// <param name="ByPrice">Whether a student's place had a price in changes, or came before all of them.</param>
/// <param name="Proved">Nothing better exists with these classes free.</param>
/// <param name="Cancelled">Classes given up.</param>
/// <param name="CancelledStudents">Their seats.</param>
/// <param name="Moved">Classes held otherwise than published.</param>
/// <param name="Changes">Points of change of all moved classes.</param>
/// <param name="Points">Of the whole plan, see <see cref="PlanPoints"/>.</param>
public sealed record MendedPlan(
    ClassPlan Plan, int Neighbours, bool ByPrice, bool Proved, IReadOnlyList<int> Cancelled, int CancelledStudents,
    IReadOnlyList<MendedClass> Moved, int Changes, int Points)
{
    /// <summary>Sessions taught by another person than the pour of their class, where it was not so before.</summary>
    public int Substitutes => Moved.Sum(moved => moved.Substitutes);
}

/// <summary>A class held otherwise than published, and why.</summary>
/// <param name="From">As published.</param>
/// <param name="To">As proposed.</param>
/// <param name="Faults">What broke it; empty where it was whole.</param>
/// <param name="MakesRoomFor">Classes that now have what it had; empty where it was broken itself.</param>
public sealed record MendedClass(
    Placement From, Placement To, IReadOnlyList<PlanFault> Faults, IReadOnlyList<int> MakesRoomFor)
{
    /// <summary>For a session at another time or place, in points of change.</summary>
    public const int TimeOrPlaceChange = 1;

    /// <summary>For a session with another person.</summary>
    public const int PersonChange = 2;

    /// <summary>Sessions taught by another person than the pour, more than before.</summary>
    public int Substitutes => Math.Max(0, Count(To) - Count(From));

    /// <summary>Points of change between two placements of a class.</summary>
    public static int Changes(Placement from, Placement to) => from.Sessions.Zip(to.Sessions).Sum(s =>
        (s.First.Slot != s.Second.Slot || from.Site != to.Site ? TimeOrPlaceChange : 0)
        + (s.First.Instructor != s.Second.Instructor ? PersonChange : 0));

    private static int Count(Placement p) => p.Sessions.Count(session => session.Instructor != p.Pour.Instructor);
}
