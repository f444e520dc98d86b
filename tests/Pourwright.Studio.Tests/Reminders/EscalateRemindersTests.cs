using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Role = Pourwright.V1.Contact.Types.Role;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class EscalateRemindersTests
{
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;

    /// <summary>Patience by kind: 30 minutes for safety and for rooms, four hours for schedules, none after the owner.</summary>
    [Theory]
    [InlineData(Kind.Exotherm, true, Role.Instructor, 30)]
    [InlineData(Kind.SensorSilent, false, Role.Assistant, 30)]
    [InlineData(Kind.ClimateWarning, false, Role.Assistant, 30)]
    [InlineData(Kind.DemoldReady, false, Role.Instructor, 240)]
    [InlineData(Kind.AtRisk, false, Role.Instructor, 240)]
    [InlineData(Kind.Withdrawn, false, Role.Instructor, 240)]
    [InlineData(Kind.LotExpiring, false, Role.Owner, null)]
    public void EscalateDueMs_ByKind_IsThisManyMinutesAfterSending(Kind kind, bool safety, Role role, int? minutes) => Assert.Equal(
        minutes * 60_000L,
        DueReminders.EscalateDueMs(new() { Name = "", Kind = kind, RecipientRole = role, Safety = safety }, new(), nowMs: 0));

    [Fact]
    public async Task Sweep_NotAcknowledgedInTime_TellsTheOwnerOnce()
    {
        await using var desk = await ReminderDesk.StartAsync(null,
            ReminderDesk.Person(Role.Instructor, "ivo@alder.example"), ReminderDesk.Person(Role.Owner, "olive@alder.example"));
        await desk.RemindAsync("walnut-7", Nine);
        await desk.SweepAsync<DueReminders>();

        await desk.SweepAtAsync<EscalateReminders>(Nine.AddHours(4).AddMilliseconds(-1));
        Assert.Equal(Role.Instructor, desk.Single(Kind.DemoldReady).RecipientRole);

        await desk.SweepAtAsync<EscalateReminders>(Nine.AddHours(4));
        await desk.SweepAtAsync<EscalateReminders>(Nine.AddHours(9));

        var reminder = desk.Single(Kind.DemoldReady);
        Assert.Equal((Role.Owner, Nine.AddHours(4).ToUnixMs(), (long?)null), (reminder.RecipientRole, reminder.EscalateMs, reminder.EscalateDueMs));
        Assert.Equal(["ivo@alder.example", "olive@alder.example"], desk.Deliveries().Select(d => d.Address));
    }

    /// <summary>Ready at nine, told to the instructor, to the owner at one; off at two. The instructor may be on the way to the mould.</summary>
    [Fact]
    public async Task Withdrawal_AfterAnEscalation_ReachesBothOnce()
    {
        await using var desk = await ReminderDesk.StartAsync(null,
            ReminderDesk.Person(Role.Instructor, "ivo@alder.example"), ReminderDesk.Person(Role.Owner, "olive@alder.example"));
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, Nine);
        await desk.SweepAsync<DueReminders>();
        await desk.SweepAtAsync<EscalateReminders>(Nine.AddHours(4));

        desk.Harness.Clock.SetUtcNow(Nine.AddHours(5));
        await desk.ForecastAsync(piece, Nine.AddHours(20));
        await desk.SweepAsync<DueReminders>();

        var notice = desk.Single(Kind.Withdrawn);
        Assert.Equal(Role.Owner, notice.RecipientRole);
        Assert.Equal(["ivo@alder.example", "olive@alder.example"], desk.Deliveries().Where(d => d.Reminder == notice.Name).Select(d => d.Address));
    }

    [Fact]
    public async Task Sweep_AcknowledgedInTime_TellsNobodyElse()
    {
        await using var desk = await ReminderDesk.StartAsync(null, ReminderDesk.Person(Role.Owner, "olive@alder.example"));
        await desk.RemindAsync("walnut-7", Nine, Kind.Exotherm, safety: true);
        await desk.SweepAsync<DueReminders>();
        await desk.Client.AcknowledgeReminderAsync(new() { Name = desk.Single(Kind.Exotherm).Name, Acknowledger = "Ivo" });

        await desk.SweepAtAsync<EscalateReminders>(Nine.AddDays(1));

        Assert.Null(desk.Single(Kind.Exotherm).EscalateMs);
    }

    [Fact]
    public async Task Sweep_DueInQuietHours_WaitsForTheMorningButNotWithSafety()
    {
        await using var desk = await ReminderDesk.StartAsync();
        var evening = new DateTimeOffset(2026, 2, 6, 20, 50, 0, TimeSpan.Zero);
        await desk.RemindAsync("walnut-7", evening);
        await desk.RemindAsync("walnut-8", evening, Kind.Exotherm, safety: true);
        await desk.SweepAtAsync<DueReminders>(evening);

        // Due 00:50 and 21:20; quiet until 07:00.
        await desk.SweepAtAsync<EscalateReminders>(evening.AddHours(6));
        Assert.Equal((Role.Instructor, Role.Owner), (desk.Single(Kind.DemoldReady).RecipientRole, desk.Single(Kind.Exotherm).RecipientRole));

        await desk.SweepAtAsync<EscalateReminders>(new(2026, 2, 7, 7, 0, 0, TimeSpan.Zero));
        Assert.Equal(Role.Owner, desk.Single(Kind.DemoldReady).RecipientRole);
    }
}
