using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using TaskKind = Pourwright.V1.PrepTask.Types.Kind;

namespace Pourwright.Studio.Tests.Classes;

/// <summary>What follows once a class has its sessions: who is told, what is due, which moulds it holds.</summary>
public sealed class ClassWorkTests : IAsyncLifetime
{
    private readonly ClassStudio _studio = new();

    private V1.ClassService.ClassServiceClient Classes => _studio.Classes;

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Sessions_SetThenMoved_TellWhoAgreedAndTheInstructor_OnceAChange()
    {
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("quim", consent: false);
        await _studio.Harness.SettleAsync();
        Assert.Empty(Told());

        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.Harness.SettleAsync();
        await _studio.Harness.SettleAsync();
        Assert.Equal([("mara", Reminder.Types.State.Told), ("ana", Reminder.Types.State.Told)], Told().Select(told => (told.To, told.State)));

        await Classes.ScheduleSessionsAsync(Moved());
        await _studio.Harness.SettleAsync();
        Assert.Equal(["mara", "ana", "mara", "ana"], Told().Select(told => told.To));
        Assert.Contains("Reason: the planer is down.", Told()[2].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sessions_Told_ReachTheStudentsOwnAddressAndNobodyElses()
    {
        await _studio.EnrolAsync("mara");
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.Harness.SettleAsync();

        var addresses = _studio.Harness.Reads.Read(session => session.Query<string>("SELECT channel || ' ' || address FROM deliveries ORDER BY address"));

        Assert.Equal(["email ana@alder.example", "email mara@post.example"], addresses);
    }

    [Fact]
    public async Task Sessions_ChangedAtNight_WaitForTheMorning()
    {
        await _studio.EnrolAsync("mara");
        await _studio.GoToAsync("2026-02-06 22:00");
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.Harness.SettleAsync();
        Assert.All(Told(), told => Assert.Equal(Reminder.Types.State.Pending, told.State));

        await _studio.GoToAsync("2026-02-07 07:00");

        Assert.All(Told(), told => Assert.Equal(Reminder.Types.State.Told, told.State));
    }

    [Fact]
    public async Task Consent_TakenBackWhileAMessageWaits_StopsIt()
    {
        await _studio.EnrolAsync("mara");
        await _studio.GoToAsync("2026-02-06 22:00");
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.Harness.SettleAsync();

        await _studio.Students.UpdateStudentAsync(new() { Student = new() { Name = "studios/alder/students/mara", ConsentToMessages = false } });
        await _studio.GoToAsync("2026-02-07 07:00");

        Assert.Equal(Reminder.Types.State.Withdrawn, Assert.Single(Told(), told => told.To == "mara").State);
    }

    [Fact]
    public async Task Class_GivenUpBeforeItHadDates_IsToldAllTheSame()
    {
        await _studio.EnrolAsync("mara");

        await Classes.CancelCastingClassAsync(new() { Name = ClassStudio.Trays, Reason = "too few students" });
        await _studio.Harness.SettleAsync();

        Assert.Equal(["mara"], Told().Select(told => told.To));
    }

    [Fact]
    public async Task Tasks_ComeWithTheSessions_AndMoveWithThePour()
    {
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        Assert.Equal([TaskKind.MouldBuild, TaskKind.WoodMetering, TaskKind.LotsWarmed, TaskKind.LeakCheck], (await TasksAsync(new())).Select(task => task.Kind));

        var done = await Classes.CompletePrepTaskAsync(new() { Name = $"{ClassStudio.Trays}/tasks/wood-metering", Worker = "Asa" });
        Assert.Equal(("Asa", StudioHarness.Start), (done.Worker, done.CompleteTime.ToDateTimeOffset()));
        var moved = ClassStudio.Schedule(reason: "Ana is away");
        moved.Sessions[0].Date = ClassStudio.Day(2026, 2, 22);
        await Classes.ScheduleSessionsAsync(moved);

        var open = await TasksAsync(new() { Site = SampleStudio.North });
        Assert.Equal([ClassStudio.At("2026-02-21 18:00"), ClassStudio.At("2026-02-22 06:00"), ClassStudio.At("2026-02-22 08:00")], open.Select(task => task.DueTime));
        Assert.Equal(4, (await TasksAsync(new() { CastingClass = ClassStudio.Trays, IncludeDone = true })).Count);
        Assert.Single(await TasksAsync(new() { DueBeforeTime = ClassStudio.At("2026-02-22 00:00") }));
        Assert.Empty(await TasksAsync(new() { Site = SampleStudio.South }));
    }

    [Fact]
    public async Task Complete_InTheFutureOrUnknown_IsRefused()
    {
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        var task = new CompletePrepTaskRequest { Name = $"{ClassStudio.Trays}/tasks/leak-check", Worker = "Asa", CompleteTime = ClassStudio.At("2026-02-07 09:00") };

        Assert.Equal(Reasons.TimeInFuture, (await Assert.ThrowsAsync<RpcException>(() => Classes.CompletePrepTaskAsync(task).ResponseAsync)).Reason());
        task.Name = $"{ClassStudio.Trays}/tasks/none";
        task.CompleteTime = null;
        Assert.Equal(Reasons.PrepTaskNotFound, (await Assert.ThrowsAsync<RpcException>(() => Classes.CompletePrepTaskAsync(task).ResponseAsync)).Reason());
    }

    // Moulds and wood are due on Friday at 18:00, lots and leaks on Saturday morning.
    [Fact]
    public async Task Overdue_IsOneDigestASiteAndDay_UntilItIsDone()
    {
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.GoToAsync("2026-02-20 17:59");
        Assert.Empty(Digests());

        await _studio.GoToAsync("2026-02-20 18:00");
        await _studio.GoToAsync("2026-02-20 18:30");
        Assert.Equal([("Assistant", Reminder.Types.State.Sent)], Digests().Select(told => (told.To, told.State)));
        Assert.Contains("2 things overdue", Digests()[0].Text, StringComparison.Ordinal);

        await _studio.GoToAsync("2026-02-21 08:00");
        Assert.Equal([Reminder.Types.State.Withdrawn, Reminder.Types.State.Sent], Digests().Select(told => told.State));
        Assert.Contains("4 things overdue", Digests()[1].Text, StringComparison.Ordinal);

        foreach (var task in await TasksAsync(new())) await Classes.CompletePrepTaskAsync(new() { Name = task.Name, Worker = "Asa" });
        await _studio.Harness.SettleAsync();
        Assert.All(Digests(), told => Assert.Equal(Reminder.Types.State.Withdrawn, told.State));
    }

    // The pour ends on Saturday at 14:00: what was not ready then cannot be made ready for it.
    [Fact]
    public async Task Overdue_AfterThePour_IsNotSaidAnyMore()
    {
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.GoToAsync("2026-02-21 13:59");
        Assert.Equal(Reminder.Types.State.Sent, Digests()[^1].State);

        await _studio.GoToAsync("2026-02-21 14:00");

        Assert.All(Digests(), told => Assert.Equal(Reminder.Types.State.Withdrawn, told.State));
        Assert.Equal(4, (await TasksAsync(new())).Count);
        await _studio.GoToAsync("2026-02-28 16:00");
        Assert.Empty(await TasksAsync(new()));
    }

    [Fact]
    public async Task Moulds_HeldByAnotherClass_AreNotFree_AndMoveWithIt()
    {
        var mould = await _studio.Moulds.CreateMouldAsync(new()
        {
            Parent = SampleStudio.North,
            MouldId = "tray",
            Mould = new() { DisplayName = "Tray", LengthMm = 400, WidthMm = 250, DepthMm = 40, MouldCount = 12 },
        });
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.AskAsync("others");
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule("others"));

        var booking = await _studio.Moulds.BookMouldsAsync(new() { Mould = mould.Name, CastingClass = ClassStudio.Trays, MouldCount = 8 });
        Assert.Equal((ClassStudio.At("2026-02-21 10:00"), ClassStudio.At("2026-02-28 16:00")), (booking.StartTime, booking.EndTime));
        var free = await AskFreeAsync("others");
        Assert.Equal((8, 4, 8), (free.WantedCount, free.FreeCount, Assert.Single(free.Stocks).HeldCount));
        Assert.Equal([Reasons.MouldsShort], free.Cautions.Select(caution => caution.Reason));
        Assert.Equal(Reasons.MouldsTaken, (await Assert.ThrowsAsync<RpcException>(() => _studio.Moulds.BookMouldsAsync(
            new() { Mould = mould.Name, CastingClass = "studios/alder/classes/others", MouldCount = 8 }).ResponseAsync)).Reason());

        var later = ClassStudio.Schedule(reason: "Ana is away");
        (later.Sessions[0].Date, later.Sessions[1].Date) = (ClassStudio.Day(2026, 3, 7), ClassStudio.Day(2026, 3, 14));
        await Classes.ScheduleSessionsAsync(later);
        Assert.Equal(12, (await AskFreeAsync("others")).FreeCount);
    }

    [Fact]
    public async Task Moulds_TooFewOrPromisedTwice_AreCautionedOnTheClass()
    {
        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        Assert.DoesNotContain(await CautionsAsync(), reason => reason.StartsWith("MOULDS", StringComparison.Ordinal));
        var mould = await _studio.Moulds.CreateMouldAsync(new()
        {
            Parent = SampleStudio.North,
            Mould = new() { DisplayName = "Tray", LengthMm = 400, WidthMm = 250, DepthMm = 40, MouldCount = 12 },
        });
        Assert.Contains(Reasons.MouldsShort, await CautionsAsync());

        await _studio.Moulds.BookMouldsAsync(new() { Mould = mould.Name, CastingClass = ClassStudio.Trays, MouldCount = 8 });
        await _studio.AskAsync("others");
        await _studio.Moulds.BookMouldsAsync(new() { Mould = mould.Name, CastingClass = "studios/alder/classes/others", MouldCount = 8 });
        Assert.DoesNotContain(await CautionsAsync(), reason => reason.StartsWith("MOULDS", StringComparison.Ordinal));

        await Classes.ScheduleSessionsAsync(ClassStudio.Schedule("others"));
        Assert.Contains(Reasons.MouldsOverbooked, await CautionsAsync());
    }

    private async Task<FreeMoulds> AskFreeAsync(string id) =>
        await _studio.Moulds.AskFreeMouldsAsync(new() { Site = SampleStudio.North, CastingClass = $"studios/alder/classes/{id}" });

    private async Task<IReadOnlyList<string>> CautionsAsync() =>
        [.. (await Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays })).Cautions.Select(caution => caution.Reason)];

    private async Task<IReadOnlyList<PrepTask>> TasksAsync(ListPrepTasksRequest request)
    {
        request.Parent = SampleStudio.Name;
        return (await Classes.ListPrepTasksAsync(request)).PrepTasks;
    }

    private static ScheduleSessionsRequest Moved()
    {
        var moved = ClassStudio.Schedule(reason: "the planer is down");
        moved.Sessions[1].Date = ClassStudio.Day(2026, 3, 1);
        return moved;
    }

    private IReadOnlyList<(string To, Reminder.Types.State State, string Text)> Told() => _studio.Reminders(Reminder.Types.Kind.SessionsChanged);

    private IReadOnlyList<(string To, Reminder.Types.State State, string Text)> Digests() => _studio.Reminders(Reminder.Types.Kind.PrepOverdue);
}
