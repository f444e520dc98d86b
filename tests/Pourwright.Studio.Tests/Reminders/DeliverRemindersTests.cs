using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using Role = Pourwright.V1.Contact.Types.Role;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class DeliverRemindersTests
{
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;
    private static readonly Contact Ivo = ReminderDesk.Person(Role.Instructor, "ivo@alder.example");

    private readonly RecordingChannel _mail = new(EmailChannel.Name);

    [Fact]
    public async Task Sweep_Delivered_IsNotTriedAgain()
    {
        await using var desk = await SentAsync();

        await desk.SweepAsync<DeliverReminders>();
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddDays(1));

        Assert.Equal([(desk.Single(Kind.DemoldReady).Name, "ivo@alder.example")], _mail.Sent);
        var row = Assert.Single(desk.Deliveries());
        Assert.Equal((1, (long?)null, Nine.ToUnixMs(), ""), (row.Attempts, row.NextAttemptMs, row.DeliveredMs!.Value, row.LastError));
    }

    [Fact]
    public async Task Sweep_FailingThenMended_TriesAfterGrowingDelaysWithTheSameId()
    {
        await using var desk = await SentAsync();
        _mail.Answer = () => DeliveryOutcome.Failed("no route");

        // Attempts at 0 s, then 30 s after the first, 60 s after the second.
        await desk.SweepAsync<DeliverReminders>();
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(29));
        Assert.Single(_mail.Sent);
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(30));
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(89));
        Assert.Equal(2, _mail.Sent.Count);
        Assert.Equal("no route", Assert.Single(desk.Deliveries()).LastError);

        _mail.Answer = () => DeliveryOutcome.Delivered;
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(90));

        Assert.Equal(3, _mail.Sent.Count);
        Assert.Single(_mail.Sent.Distinct());
        Assert.Equal((Nine.AddSeconds(90).ToUnixMs(), ""), (desk.Deliveries()[0].DeliveredMs!.Value, desk.Deliveries()[0].LastError));
    }

    /// <summary>30 s · 2^(n−1), at most two hours: 30 s, 1, 2, 4, 8, 16, 32, 64 min, 2 h (128 min cut), 2 h, 2 h.</summary>
    [Theory]
    [InlineData(1, 30)]
    [InlineData(2, 60)]
    [InlineData(8, 3840)]
    [InlineData(9, 7200)]
    [InlineData(11, 7200)]
    public void DelayAfter_Attempt_DoublesUpToTheMost(int attempt, double seconds) =>
        Assert.Equal(TimeSpan.FromSeconds(seconds), new DeliveryOptions().DelayAfter(attempt));

    [Fact]
    public async Task Sweep_FailingForGood_GivesUpKeepsTheErrorAndLogsIt()
    {
        await using var desk = await SentAsync();
        desk.Harness.ExpectErrorContaining("attempt 12: no route Given up.");
        _mail.Answer = () => DeliveryOutcome.Failed("no route");

        for (var hour = 0; hour < 48; hour++) await desk.SweepAtAsync<DeliverReminders>(Nine.AddHours(2 * hour));

        var row = Assert.Single(desk.Deliveries());
        Assert.Equal((12, (long?)null, (long?)null, "no route"), (row.Attempts, row.NextAttemptMs, row.DeliveredMs, row.LastError));
        Assert.Equal(12, _mail.Sent.Count);
    }

    [Fact]
    public async Task Sweep_RefusedForGood_IsNotTriedAgain()
    {
        await using var desk = await SentAsync();
        desk.Harness.ExpectErrorContaining("attempt 1: 550 no such mailbox Given up.");
        _mail.Answer = () => DeliveryOutcome.Refused("550 no such mailbox");

        await desk.SweepAsync<DeliverReminders>();
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddDays(1));

        Assert.Single(_mail.Sent);
        Assert.Equal("550 no such mailbox", desk.Deliveries()[0].LastError);
    }

    [Fact]
    public async Task Sweep_ChannelThrows_IsAFailureOfThatAttemptOnly()
    {
        await using var desk = await SentAsync();
        _mail.Answer = () => throw new IOException("broken pipe");

        await desk.SweepAsync<DeliverReminders>();

        var row = Assert.Single(desk.Deliveries());
        Assert.Equal((1, Nine.AddSeconds(30).ToUnixMs(), "broken pipe"), (row.Attempts, row.NextAttemptMs!.Value, row.LastError));
    }

    /// <summary>The node dies after the other side took it and before that is saved: the claim's delay passes, then it comes again, the same.</summary>
    [Fact]
    public async Task Sweep_AfterACrashBetweenClaimAndRecord_DeliversAgainWithTheSameId()
    {
        await using var desk = await SentAsync();
        var lost = await desk.Harness.Writer.WriteAsync(tx => DeliveryStore.Claim(tx, new()));
        Assert.Single(lost);
        await desk.Harness.RestartAsync(ReminderDesk.With(_mail));

        await desk.SweepAsync<DeliverReminders>();
        Assert.Empty(_mail.Sent);
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(30));

        Assert.Equal([(lost[0].Reminder, lost[0].Address)], _mail.Sent);
        Assert.Equal(2, desk.Deliveries()[0].Attempts);
    }

    [Fact]
    public async Task Sweep_WithdrawnBeforeItArrived_DeliversOnlyTheWithdrawal()
    {
        await using var desk = await ReminderDesk.StartAsync(ReminderDesk.With(_mail), Ivo);
        var piece = await desk.AddPieceAsync("walnut-7");
        await desk.ForecastAsync(piece, Nine);
        await desk.SweepAsync<DueReminders>();
        await desk.ForecastAsync(piece, Nine.AddHours(5));
        await desk.SweepAsync<DueReminders>();

        await desk.SweepAsync<DeliverReminders>();

        Assert.Equal([desk.Single(Kind.Withdrawn).Name], _mail.Sent.Select(sent => sent.Reminder));
    }

    /// <summary>The first fails at 0 s and is due again at 30 s; what is said of the same piece at 10 s waits for it.</summary>
    [Fact]
    public async Task Sweep_TwoOfOneThing_ArriveInTheOrderInWhichTheyWereSent()
    {
        await using var desk = await SentAsync();
        _mail.Answer = () => DeliveryOutcome.Failed("no route");
        await desk.SweepAsync<DeliverReminders>();
        _mail.Answer = () => DeliveryOutcome.Delivered;
        await SendMoreAsync(desk, Nine.AddSeconds(10));

        await desk.SweepAsync<DeliverReminders>();
        Assert.Single(_mail.Sent);
        await desk.SweepAtAsync<DeliverReminders>(Nine.AddSeconds(30));

        var (first, second) = (desk.Single(Kind.DemoldReady).Name, desk.Single(Kind.HandleReady).Name);
        Assert.Equal([first, first, second], _mail.Sent.Select(sent => sent.Reminder));
    }

    [Fact]
    public async Task Sweep_AfterTheEarlierOneWasGivenUp_DeliversTheLaterOne()
    {
        await using var desk = await SentAsync();
        desk.Harness.ExpectErrorContaining("550 not this one Given up.");
        _mail.Answer = () => DeliveryOutcome.Refused("550 not this one");
        await desk.SweepAsync<DeliverReminders>();
        _mail.Answer = () => DeliveryOutcome.Delivered;
        await SendMoreAsync(desk, Nine.AddSeconds(10));

        await desk.SweepAsync<DeliverReminders>();

        Assert.Equal(desk.Single(Kind.HandleReady).Name, _mail.Sent[^1].Reminder);
    }

    [Fact]
    public async Task Sweep_Safety_WaitsForNothingThatWentBefore()
    {
        await using var desk = await SentAsync();
        _mail.Answer = () => DeliveryOutcome.Failed("no route");
        await desk.SweepAsync<DeliverReminders>();
        await SendMoreAsync(desk, Nine.AddSeconds(10), Kind.Exotherm, safety: true);

        await desk.SweepAsync<DeliverReminders>();

        Assert.Equal(desk.Single(Kind.Exotherm).Name, _mail.Sent[^1].Reminder);
    }

    /// <summary>The instructor has another address while the mail to the first one fails: it follows, and so does what is told later.</summary>
    [Fact]
    public async Task Sweep_InstructorHasAnotherAddress_DeliversThere()
    {
        await using var desk = await ReminderDesk.StartAsync(ReminderDesk.With(_mail));
        var people = new InstructorService.InstructorServiceClient(desk.Harness.Channel);
        var ana = await people.CreateInstructorAsync(new()
        {
            Parent = ReminderDesk.Studio, InstructorId = "ana", Instructor = new() { DisplayName = "Ana", HomeSite = ReminderDesk.Site, Email = "ana@old.example" },
        });
        await TellAsync(desk, ana, Nine);
        await TellAsync(desk, ana, Nine.AddSeconds(40));
        _mail.Answer = () => DeliveryOutcome.Failed("no such mailbox yet");
        await desk.Harness.SettleAsync();
        _mail.Answer = () => DeliveryOutcome.Delivered;

        await people.UpdateInstructorAsync(new() { Instructor = new() { Name = ana.Name, Email = "ana@new.example", Etag = ana.Etag } });
        await desk.Harness.SettleAsync();
        await desk.Harness.AdvanceAsync(TimeSpan.FromSeconds(40));

        Assert.Equal(["ana@old.example", "ana@new.example", "ana@new.example"], _mail.Sent.Select(sent => sent.Address));
        Assert.All(desk.Deliveries(), row => Assert.NotNull(row.DeliveredMs));
    }

    private static Task TellAsync(ReminderDesk desk, Instructor instructor, DateTimeOffset at) => desk.Harness.Writer.WriteAsync(tx =>
    {
        var changes = new ReminderChanges();
        changes.Add(new()
        {
            Studio = ReminderDesk.Studio, Site = ReminderDesk.Site, Kind = Kind.SessionsChanged, Subject = $"{ReminderDesk.Studio}/classes/trays",
            Text = "The day is another.", RecipientRole = Role.Unspecified, Recipient = instructor.Name, RecipientEmail = instructor.Email, RemindMs = at.ToUnixMs(),
        });
        ReminderStore.Save(tx, changes);
    });

    private static async Task SendMoreAsync(ReminderDesk desk, DateTimeOffset at, Kind kind = Kind.HandleReady, bool safety = false)
    {
        await desk.RemindAsync("walnut-7", at, kind, safety);
        await desk.SweepAtAsync<DueReminders>(at);
    }

    [Fact]
    public async Task Node_WithItsSettings_DeliversByMailAndWebhook()
    {
        await using var mail = await MailSink.StartAsync();
        await using var hook = await WebhookSink.StartAsync();
        string[] settings =
        [
            "--Reminders:Mail:Host=127.0.0.1", $"--Reminders:Mail:Port={mail.Port}", "--Reminders:Mail:Security=None",
            $"--Reminders:Webhooks:Hosts:0={hook.Host}", "--Reminders:Webhooks:PrivateNetworks:0=127.0.0.0/8",
            "--Reminders:Webhooks:Secrets:0=whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw",
        ];
        await using var desk = await ReminderDesk.StartAsync(
            null, settings, [ReminderDesk.Person(Role.Instructor, "ivo@alder.example", hook.Address.ToString())]);
        await desk.RemindAsync("walnut-7", Nine);

        await desk.Harness.SettleAsync();

        Assert.All(desk.Deliveries(), row => Assert.Equal((Nine.ToUnixMs(), ""), (row.DeliveredMs!.Value, row.LastError)));
        var id = desk.Single(Kind.DemoldReady).Name.Split('/')[^1];
        Assert.StartsWith(id, Assert.Single(mail.Received).MessageId, StringComparison.Ordinal);
        Assert.Equal(id, Assert.Single(hook.Requests).Headers["webhook-id"]);
    }

    private async Task<ReminderDesk> SentAsync()
    {
        var desk = await ReminderDesk.StartAsync(ReminderDesk.With(_mail), Ivo);
        await desk.RemindAsync("walnut-7", Nine);
        await desk.SweepAsync<DueReminders>();
        return desk;
    }
}
