using Pourwright.Studio.Classes;
using Kind = Pourwright.V1.Session.Types.Kind;
using State = Pourwright.V1.Session.Types.State;

namespace Pourwright.Studio.Tests.Classes;

public sealed class SessionChangesTests
{
    private static readonly SessionRecord Pour = ClassFacts.Pour, Machine = ClassFacts.Machine;

    [Fact]
    public void Sessions_First_AreConfirmedWithSequenceZero() => Assert.Equal(
        [(State.Confirmed, 0, ""), (State.Confirmed, 0, "")],
        SessionChanges.Decide([], [Pour, Machine], "").Select(change => (change.After.State, change.After.Sequence, change.After.ChangeReason)));

    [Fact]
    public void Sessions_AsTheyWere_DoNotChange() => Assert.Empty(SessionChanges.Decide([Pour with { Sequence = 4 }, Machine], [Pour, Machine], "again"));

    public static TheoryData<string, SessionRecord> Changes => new()
    {
        { "time", ClassFacts.Session(Kind.Pour, "2026-02-21", 11 * 60) },
        { "day", ClassFacts.Session(Kind.Pour, "2026-02-22", 10 * 60) },
        { "end", ClassFacts.Session(Kind.Pour, "2026-02-21", 10 * 60, minutes: 300) },
        { "instructor", ClassFacts.Session(Kind.Pour, "2026-02-21", 10 * 60, instructor: ClassFacts.Rui) },
        { "site", Pour with { Site = "studios/alder/sites/south" } },
        { "bench", Pour with { Bench = "studios/alder/sites/north/benches/shelf" } },
    };

    [Theory]
    [MemberData(nameof(Changes))]
    public void Session_WithAnother_IsMovedAndItsSequenceGrows(string what, SessionRecord wanted)
    {
        var change = Assert.Single(SessionChanges.Decide([Pour with { Sequence = 4 }, Machine], [wanted, Machine], $"new {what}"));

        Assert.Equal((State.Moved, 5, $"new {what}", true), (change.After.State, change.After.Sequence, change.After.ChangeReason, change.IsNews));
        Assert.Equal(4, change.Before!.Sequence);
    }

    [Fact]
    public void Session_NotWantedAnyMore_IsCancelledAndKept()
    {
        var change = Assert.Single(SessionChanges.Decide([Pour, Machine with { Sequence = 2 }], [Pour], "planer down"));

        Assert.Equal((Machine.Name, State.Cancelled, 3, "planer down"), (change.After.Name, change.After.State, change.After.Sequence, change.After.ChangeReason));
        Assert.Equal(Machine.StartMs, change.After.StartMs);
    }

    [Fact]
    public void Session_CancelledBefore_IsNotCancelledAgain() =>
        Assert.Empty(SessionChanges.Decide([Pour with { State = State.Cancelled, Sequence = 1 }], [], "again"));

    [Fact]
    public void Session_BookedAgainAfterCancelling_GoesOnCounting()
    {
        var change = Assert.Single(SessionChanges.Decide([Pour with { State = State.Cancelled, Sequence = 3 }], [Pour], "after all"));

        Assert.Equal((State.Confirmed, 4), (change.After.State, change.After.Sequence));
    }

    [Fact]
    public void Session_ByAnotherReleaseOfTimeZones_KeepsItsSequence()
    {
        var change = Assert.Single(SessionChanges.Decide([Pour with { TzdbVersion = "1999a", Sequence = 2 }], [Pour], "again"));

        Assert.Equal((Pour.TzdbVersion, 2, false), (change.After.TzdbVersion, change.After.Sequence, change.IsNews));
    }
}
