using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Role = Pourwright.V1.Contact.Types.Role;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class DueRemindersTests
{
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;

    [Fact]
    public async Task Sweep_BeforeAndAtTheDueTime_SendsNothingThenOne()
    {
        await using var desk = await ReminderDesk.StartAsync();
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, demoldSafe: Nine.AddHours(3));

        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(3).AddMilliseconds(-1));
        Assert.Equal(State.Pending, desk.Single(Kind.DemoldReady).State);

        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(3));
        var sent = desk.Single(Kind.DemoldReady);
        Assert.Equal((State.Sent, Nine.AddHours(3).ToUnixMs(), 1L), (sent.State, sent.SendMs, sent.SendSequence));
    }

    [Fact]
    public async Task Sweep_Twice_SendsOnce()
    {
        await using var desk = await ReminderDesk.StartAsync(null, ReminderDesk.Person(Role.Instructor, "ivo@alder.example"));
        await desk.ForecastAsync(await desk.AddPieceAsync("walnut-7"), Nine);

        await desk.SweepAsync<DueReminders>();
        var first = desk.Single(Kind.DemoldReady);
        await desk.SweepAtAsync<DueReminders>(Nine.AddMinutes(5));

        Assert.Equal(first, desk.Single(Kind.DemoldReady));
        Assert.Single(desk.Deliveries());
    }

    [Fact]
    public async Task Restart_AfterSending_NeitherLosesNorRepeats()
    {
        await using var desk = await ReminderDesk.StartAsync();
        await desk.RemindAsync("walnut-7", Nine);
        await desk.RemindAsync("walnut-8", Nine.AddHours(1));
        await desk.SweepAsync<DueReminders>();

        await desk.Harness.RestartAsync();
        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(1));

        Assert.Equal([1L, 2L], desk.Reminders().Select(r => r.SendSequence!.Value));
    }

    [Fact]
    public async Task Sweep_MoreThanABatch_SendsAllInOrderOfTheirTimes()
    {
        await using var desk = await ReminderDesk.StartAsync(services => ReminderTestOptions.Replace(services, new() { BatchMax = 7 }));
        for (var i = 0; i < 20; i++) await desk.RemindAsync($"piece-{i}", Nine.AddMinutes(-i));

        await desk.SweepAsync<DueReminders>();

        Assert.Equal(
            Enumerable.Range(0, 20).Select(i => $"{ReminderDesk.Studio}/pieces/piece-{19 - i}"),
            desk.Reminders().OrderBy(r => r.SendSequence).Select(r => r.Subject));
    }

    [Fact]
    public async Task Sweep_InQuietHours_WaitsForTheirEndButNotWithSafety()
    {
        await using var desk = await ReminderDesk.StartAsync();
        // Quiet from 21:00 to 07:00 in Lisbon, on UTC in February.
        var night = new DateTimeOffset(2026, 2, 6, 23, 0, 0, TimeSpan.Zero);
        await desk.RemindAsync("walnut-7", night);
        await desk.RemindAsync("walnut-8", night, Kind.Exotherm, safety: true);

        await desk.SweepAtAsync<DueReminders>(night);
        Assert.Equal((State.Pending, State.Sent), (desk.Single(Kind.DemoldReady).State, desk.Single(Kind.Exotherm).State));
        await desk.SweepAtAsync<DueReminders>(new(2026, 2, 7, 6, 59, 59, TimeSpan.Zero));
        Assert.Equal(State.Pending, desk.Single(Kind.DemoldReady).State);

        await desk.SweepAtAsync<DueReminders>(new(2026, 2, 7, 7, 0, 0, TimeSpan.Zero));
        var sent = desk.Single(Kind.DemoldReady);
        // It was due at night and says so; it went out in the morning.
        Assert.Equal((State.Sent, night.ToUnixMs()), (sent.State, sent.RemindMs));
    }

    /// <summary>
    /// A reminder every quarter of an hour of local time, a look every five minutes, over the whole night of each clock change. In 2026 Lisbon
    /// skips 01:00 to 02:00 on 29 March (at 01:00 UTC) and has 01:00 to 02:00 twice on 25 October (again at 01:00 UTC).
    /// Noon to noon is 23 hours and 92 reminders, or 25 hours and 100.
    /// </summary>
    [Theory]
    [InlineData("2026-03-28T12:00:00Z", 23, 92, "2026-03-29T06:00:00Z")] // 07:00 in Lisbon is 06:00 UTC
    [InlineData("2026-10-24T11:00:00Z", 25, 100, "2026-10-25T07:00:00Z")] // noon in Lisbon is 11:00 UTC, the next morning's 07:00 is UTC again
    public async Task Sweep_OverANightWithAClockChange_LosesNoneDoublesNoneKeepsOrder(string noon, int hours, int count, string morning)
    {
        await using var desk = await ReminderDesk.StartAsync();
        var from = DateTimeOffset.Parse(noon, System.Globalization.CultureInfo.InvariantCulture);
        for (var i = 0; i < count; i++) await desk.RemindAsync($"piece-{i}", from.AddMinutes(15 * i));

        for (var at = from; at <= from.AddHours(hours); at = at.AddMinutes(5)) await desk.SweepAtAsync<DueReminders>(at);

        var sent = desk.Reminders().OrderBy(r => r.SendSequence).ToList();
        Assert.All(sent, reminder => Assert.Equal(State.Sent, reminder.State));
        Assert.Equal(Enumerable.Range(0, count).Select(i => $"{ReminderDesk.Studio}/pieces/piece-{i}"), sent.Select(r => r.Subject));
        Assert.Equal(Enumerable.Range(1, count).Select(i => (long?)i), sent.Select(r => r.SendSequence));
        var opened = DateTimeOffset.Parse(morning, System.Globalization.CultureInfo.InvariantCulture).ToUnixMs();
        var heldUntilMorning = sent.Where(r => r.SendMs != r.RemindMs).ToList();
        Assert.NotEmpty(heldUntilMorning);
        Assert.All(heldUntilMorning, reminder => Assert.Equal(opened, reminder.SendMs));
    }

    [Theory]
    [InlineData(Piece.Types.State.Curing, State.Sent, State.Sent)]
    [InlineData(Piece.Types.State.Demolded, State.Withdrawn, State.Sent)]
    [InlineData(Piece.Types.State.HandedOver, State.Withdrawn, State.Withdrawn)]
    [InlineData(Piece.Types.State.Scrapped, State.Withdrawn, State.Withdrawn)]
    public async Task Sweep_AfterTheNodeWasDown_SendsLateOnesUnlessTheirFactIsOver(Piece.Types.State state, State demold, State handle)
    {
        await using var desk = await ReminderDesk.StartAsync();
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, Nine.AddHours(1), Nine.AddHours(2));
        await desk.SetPieceStateAsync(piece, state);

        await desk.SweepAtAsync<DueReminders>(Nine.AddDays(3));

        Assert.Equal((demold, handle), (desk.Single(Kind.DemoldReady).State, desk.Single(Kind.HandleReady).State));
        Assert.DoesNotContain(desk.Reminders(), r => r.Kind == Kind.Withdrawn);
    }

    [Theory]
    [InlineData(23, State.Sent)]
    [InlineData(25, State.Withdrawn)]
    public async Task Sweep_LateAtRisk_IsSentOnlyBeforeItsSession(int hoursLater, State state)
    {
        await using var desk = await ReminderDesk.StartAsync();
        var session = Nine.AddHours(24);
        var piece = await desk.AddPieceAsync("walnut-7", session: session);
        await desk.ForecastAsync(piece, Nine.AddHours(30), Nine.AddHours(40), session);

        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(hoursLater));

        Assert.Equal(state, desk.Single(Kind.AtRisk).State);
    }

    [Fact]
    public async Task Sweep_SlipAfterSending_SendsTheWithdrawalAndLaterTheNewTime()
    {
        await using var desk = await ReminderDesk.StartAsync();
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, Nine);
        await desk.SweepAsync<DueReminders>();

        await desk.ForecastAsync(piece, Nine.AddHours(5));
        await desk.SweepAsync<DueReminders>();
        Assert.Equal([State.Withdrawn, State.Pending], desk.StatesOf(Kind.DemoldReady));
        Assert.Equal([State.Sent], desk.StatesOf(Kind.Withdrawn));

        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(5));
        Assert.Equal([State.Withdrawn, State.Sent], desk.StatesOf(Kind.DemoldReady));
    }

    [Fact]
    public async Task WithdrawReady_AfterASoftTouch_IsNotUndoneByTheNextForecast()
    {
        await using var desk = await ReminderDesk.StartAsync();
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, Nine.AddMinutes(-10));
        await desk.SweepAsync<DueReminders>();
        await desk.Harness.Writer.WriteAsync(tx =>
        {
            tx.Execute(
                """
                INSERT INTO checks (name, piece, check_ms, checker, touch, shore_d_below_scale, note, record_ms)
                VALUES (@piece || '/checks/one', @piece, @now, 'Ivo', 1, 0, '', @now)
                """, new { piece, now = tx.Now.ToUnixMs() });
            ForecastReminders.WithdrawReady(tx, piece, "tacky to the touch");
        });

        await desk.ForecastAsync(piece, Nine.AddMinutes(-5));
        await desk.SweepAtAsync<DueReminders>(Nine.AddHours(1));

        Assert.Equal([State.Withdrawn], desk.StatesOf(Kind.DemoldReady));
        Assert.Equal([State.Sent], desk.StatesOf(Kind.Withdrawn));
    }

    public static TheoryData<string, Contact[], string[]> RecipientCases => new()
    {
        { "the first of the role", [Mail(Role.Owner, "olive"), Mail(Role.Instructor, "ivo"), Mail(Role.Instructor, "ines")], ["email ivo@alder.example"] },
        { "nobody of the role: the owner", [Mail(Role.Assistant, "asa"), Mail(Role.Owner, "olive")], ["email olive@alder.example"] },
        { "nobody at all: the inbox", [Mail(Role.Assistant, "asa")], [] },
        { "no route: the inbox", [ReminderDesk.Person(Role.Instructor), Mail(Role.Owner, "olive")], [] },
        {
            "both routes", [ReminderDesk.Person(Role.Instructor, "ivo@alder.example", "https://hooks.alder.example/ivo")],
            ["email ivo@alder.example", "webhook https://hooks.alder.example/ivo"]
        },
    };

    [Theory]
    [MemberData(nameof(RecipientCases), DisableDiscoveryEnumeration = true)]
    public async Task Sweep_ByContactsOfTheSite_WritesDeliveriesFor(string name, Contact[] contacts, string[] deliveries)
    {
        Assert.NotEmpty(name);
        await using var desk = await ReminderDesk.StartAsync(null, contacts);
        await desk.RemindAsync("walnut-7", Nine);

        await desk.SweepAsync<DueReminders>();

        Assert.Equal(deliveries, desk.Deliveries().Select(d => $"{d.Channel} {d.Address}"));
        Assert.Equal(State.Sent, desk.Single(Kind.DemoldReady).State);
    }

    private static Contact Mail(Role role, string name) => ReminderDesk.Person(role, $"{name}@alder.example");
}
