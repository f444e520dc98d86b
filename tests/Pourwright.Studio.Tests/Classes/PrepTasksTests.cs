using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Prep;
using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.PrepTask.Types.Kind;
using SessionKind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Tests.Classes;

public sealed class PrepTasksTests
{
    // Pour on Saturday 21 February at 10:00; hours and days are the settings' defaults (common practice, no source).
    [Theory]
    [InlineData(Kind.MouldBuild, "2026-02-20 18:00")]
    [InlineData(Kind.WoodMetering, "2026-02-20 18:00")]
    [InlineData(Kind.LotsWarmed, "2026-02-21 06:00")]
    [InlineData(Kind.LeakCheck, "2026-02-21 08:00")]
    public void Task_BeforeAPour_IsDue(Kind kind, string utc) =>
        Assert.Equal(ClassFacts.Utc(utc), Decide(ClassFacts.Pour).Single(task => task.Kind == kind).DueMs);

    [Fact]
    public void Moulds_WithThreeDaysOfTheOffering_AreDueThreeDaysBefore() => Assert.Equal(
        ClassFacts.Utc("2026-02-18 18:00"),
        PrepTasks.Decide(ClassFacts.Pour, 3, [], new()).Single(task => task.Kind == Kind.MouldBuild).DueMs);

    [Fact]
    public void Moulds_WithNoDaysAtAll_AreDueWhenThePourBegins() => Assert.Equal(
        ClassFacts.Pour.StartMs, PrepTasks.Decide(ClassFacts.Pour, 0, [], new()).Single(task => task.Kind == Kind.MouldBuild).DueMs);

    // Clocks in Lisbon go forward on Sunday 29 March 2026: 18:00 on Saturday is UTC, 10:00 on Sunday is 09:00Z.
    [Fact]
    public void Moulds_TheNightClocksGoForward_AreDueByTheLocalClock()
    {
        var tasks = Decide(ClassFacts.Session(SessionKind.Pour, "2026-03-29", 10 * 60));

        Assert.Equal(ClassFacts.Utc("2026-03-28 18:00"), tasks.Single(task => task.Kind == Kind.MouldBuild).DueMs);
        Assert.Equal(ClassFacts.Utc("2026-03-29 07:00"), tasks.Single(task => task.Kind == Kind.LeakCheck).DueMs);
    }

    [Fact]
    public void Tasks_WhenThePourMoves_MoveWhereTheyAreOpen()
    {
        var before = Decide(ClassFacts.Pour).Select(task => task.Kind == Kind.WoodMetering ? PrepTasks.Complete(task, "Asa", 7) : task).ToList();

        var after = PrepTasks.Decide(ClassFacts.Session(SessionKind.Pour, "2026-02-22", 10 * 60), 1, before, new());

        Assert.Equal(ClassFacts.Utc("2026-02-21 18:00"), after.Single(task => task.Kind == Kind.MouldBuild).DueMs);
        Assert.Equal(before.Single(task => task.Kind == Kind.WoodMetering), after.Single(task => task.Kind == Kind.WoodMetering));
        Assert.Equal(before.Select(task => task.Name), after.Select(task => task.Name));
    }

    [Fact]
    public void Complete_Twice_KeepsWhoDidItFirst()
    {
        var done = PrepTasks.Complete(Decide(ClassFacts.Pour)[0], "Asa", 7);

        Assert.Equal(done, PrepTasks.Complete(done, "Ivo", 9));
    }

    [Fact]
    public void Digest_OfSeveralClasses_IsOneASite()
    {
        var changes = OverdueDigest.Decide(
            [Overdue(SampleStudio.North, "Trays"), Overdue(SampleStudio.North, "Boards"), Overdue(SampleStudio.South, "Boards")], [], Now);

        Assert.Equal([SampleStudio.North, SampleStudio.South], changes.Drafts.Select(draft => draft.Subject));
        Assert.Equal(
            "North Hall: 2 things overdue before a pour. Trays: moulds built and sealed since Fri 20 Feb 18:00 (UTC+00:00). "
            + "Boards: moulds built and sealed since Fri 20 Feb 18:00 (UTC+00:00). Do it and say so, or move the pour; sealant needs its night.",
            changes.Drafts[0].Text);
    }

    [Theory]
    [InlineData(Reminder.Types.State.Sent)]
    [InlineData(Reminder.Types.State.Acknowledged)]
    public void Digest_OutToday_StandsForItsDay(Reminder.Types.State state) =>
        Assert.True(OverdueDigest.Decide([Overdue(SampleStudio.North, "Trays"), Overdue(SampleStudio.North, "Boards")], [Digest(state, Now)], Now).IsEmpty);

    [Fact]
    public void Digest_WaitingForTheMorning_IsWrittenAnew() => Assert.Contains("Boards", Assert.Single(
        OverdueDigest.Decide([Overdue(SampleStudio.North, "Boards")], [Digest(Reminder.Types.State.Pending, Now)], Now).Moves).Text, StringComparison.Ordinal);

    [Fact]
    public void Digest_OfYesterday_GivesWayToTodays()
    {
        var changes = OverdueDigest.Decide([Overdue(SampleStudio.North, "Trays")], [Digest(Reminder.Types.State.Sent, Now - 86_400_000)], Now);

        Assert.Single(changes.Withdrawals);
        Assert.Single(changes.Drafts);
    }

    [Fact]
    public void Digest_NothingOverdueAnyMore_GoesWithoutAWord()
    {
        var changes = OverdueDigest.Decide([], [Digest(Reminder.Types.State.Sent, Now)], Now);

        Assert.Single(changes.Withdrawals);
        Assert.Empty(changes.Drafts);
    }

    private static readonly long Now = ClassFacts.Utc("2026-02-20 19:00");

    private static IReadOnlyList<PrepTaskRecord> Decide(SessionRecord pour) => PrepTasks.Decide(pour, 1, [], new());

    private static OverdueTask Overdue(string site, string castingClass) => new()
    {
        Studio = SampleStudio.Name,
        Site = site,
        TimeZone = "Europe/Lisbon",
        SiteDisplayName = "North Hall",
        Kind = Kind.MouldBuild,
        DueMs = ClassFacts.Utc("2026-02-20 18:00"),
        ClassDisplayName = castingClass,
    };

    private static ReminderRecord Digest(Reminder.Types.State state, long remindMs) => new()
    {
        Name = "studios/alder/reminders/digest",
        Studio = SampleStudio.Name,
        Site = SampleStudio.North,
        Kind = Reminder.Types.Kind.PrepOverdue,
        State = state,
        Subject = SampleStudio.North,
        Text = "earlier",
        RecipientRole = Contact.Types.Role.Assistant,
        RemindMs = remindMs,
    };
}
