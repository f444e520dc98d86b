using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Pourwright.Studio.Reminders;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class ReminderServiceTests : IAsyncLifetime
{
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;

    private ReminderDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await ReminderDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task GetReminder_Sent_SaysWhatTheRowSays()
    {
        await SendAsync("walnut-7");

        var reminder = await _desk.Client.GetReminderAsync(new() { Name = _desk.Single(Kind.DemoldReady).Name });

        Assert.Equal(
            (Kind.DemoldReady, State.Sent, ReminderDesk.Site, $"{ReminderDesk.Studio}/pieces/walnut-7", Nine, Nine),
            (reminder.Kind, reminder.State, reminder.Site, reminder.Subject, reminder.RemindTime.ToDateTimeOffset(), reminder.SendTime.ToDateTimeOffset()));
    }

    [Fact]
    public async Task GetReminder_Unknown_IsNotFound()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () =>
            await _desk.Client.GetReminderAsync(new() { Name = $"{ReminderDesk.Studio}/reminders/none" }));

        Assert.Equal((StatusCode.NotFound, "REMINDER_NOT_FOUND"), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task ListReminders_TwoAtATime_GivesEachOnceOldestFirst()
    {
        for (var i = 0; i < 5; i++) await _desk.RemindAsync($"piece-{i}", Nine.AddHours(-i));

        var seen = new List<string>();
        var request = new ListRemindersRequest { Parent = ReminderDesk.Studio, PageSize = 2, State = State.Pending, Site = ReminderDesk.Site };
        do
        {
            var page = await _desk.Client.ListRemindersAsync(request);
            seen.AddRange(page.Reminders.Select(r => r.Name));
            request.PageToken = page.NextPageToken;
        } while (request.PageToken.Length > 0);

        Assert.Equal(_desk.Reminders().Select(r => r.Name), seen);
    }

    [Theory]
    [InlineData(State.Unspecified, ReminderDesk.Site, 2)]
    [InlineData(State.Pending, "", 1)]
    [InlineData(State.Sent, "", 1)]
    [InlineData(State.Acknowledged, "", 0)]
    [InlineData(State.Unspecified, ReminderDesk.Studio + "/sites/south", 0)]
    public async Task ListReminders_ByStateAndSite_GivesOnlyThose(State state, string site, int count)
    {
        await SendAsync("walnut-7");
        await _desk.RemindAsync("walnut-8", Nine.AddDays(1));

        var page = await _desk.Client.ListRemindersAsync(new() { Parent = ReminderDesk.Studio, State = state, Site = site });

        Assert.Equal(count, page.Reminders.Count);
    }

    [Theory]
    [InlineData("studios/alder", "studios/other/sites/north", "site")]
    [InlineData("alder", "", "parent")]
    public async Task ListReminders_Malformed_NamesTheField(string parent, string site, string field)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () =>
            await _desk.Client.ListRemindersAsync(new() { Parent = parent, Site = site }));

        Assert.Equal("FIELD_INVALID", refusal.Reason());
        Assert.Contains(field, refusal.Fields());
    }

    [Fact]
    public async Task AcknowledgeReminder_TwiceByTwo_KeepsTheFirst()
    {
        await SendAsync("walnut-7");
        var name = _desk.Single(Kind.DemoldReady).Name;

        var first = await _desk.Client.AcknowledgeReminderAsync(new() { Name = name, Acknowledger = "Ivo" });
        _desk.Harness.Clock.Advance(TimeSpan.FromMinutes(1));
        var second = await _desk.Client.AcknowledgeReminderAsync(new() { Name = name, Acknowledger = "Olive" });

        Assert.Equal((State.Acknowledged, "Ivo", Nine), (first.State, first.Acknowledger, first.AcknowledgeTime.ToDateTimeOffset()));
        Assert.Equal(first, second);
    }

    [Theory]
    [InlineData(false)] // waiting
    [InlineData(true)] // withdrawn
    public async Task AcknowledgeReminder_NotOut_IsRefused(bool withdrawn)
    {
        await _desk.RemindAsync("walnut-7", Nine.AddHours(1));
        var name = _desk.Single(Kind.DemoldReady).Name;
        if (withdrawn) await _desk.Harness.Writer.WriteAsync(tx => ReminderStore.Withdraw(tx, name, "over"));

        var refusal = await Assert.ThrowsAsync<RpcException>(async () =>
            await _desk.Client.AcknowledgeReminderAsync(new() { Name = name, Acknowledger = "Ivo" }));

        Assert.Equal((StatusCode.FailedPrecondition, "REMINDER_STATE"), (refusal.StatusCode, refusal.Reason()));
        Assert.Equal(withdrawn ? "Withdrawn" : "Pending", refusal.Facts()["state"]);
    }

    [Fact]
    public async Task WatchReminders_FromTheStart_GivesTheOpenOnesThenEachAsItGoesOut()
    {
        await SendAsync("open-1");
        await SendAsync("closed");
        await _desk.Client.AcknowledgeReminderAsync(new() { Name = _desk.Reminders()[1].Name, Acknowledger = "Ivo" });
        await SendAsync("open-2");
        using var watch = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio });

        Assert.Equal(["open-1", "open-2"], await ReadAsync(watch, 2));
        await _desk.RemindAsync("waiting", Nine.AddDays(1));
        await SendAsync("new");

        Assert.Equal(["new"], await ReadAsync(watch, 1));
    }

    [Fact]
    public async Task WatchReminders_FromTheLastOneSeen_MissesNoneAndDoublesNone()
    {
        await SendAsync("seen");
        using (var first = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio })) await ReadAsync(first, 1);
        await SendAsync("missed");
        // Taken in hand while the client was away: it went out, so the client hears of it.
        await SendAsync("missed-and-closed");
        await _desk.Client.AcknowledgeReminderAsync(new() { Name = _desk.Reminders()[2].Name, Acknowledger = "Ivo" });

        using var again = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio, LastSeenReminder = _desk.Reminders()[0].Name });
        Assert.Equal(["missed", "missed-and-closed"], await ReadAsync(again, 2));
        await SendAsync("new");

        Assert.Equal(["new"], await ReadAsync(again, 1));
    }

    [Fact]
    public async Task WatchReminders_ManySentAtOnce_GivesAllInOrder()
    {
        using var watch = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio });
        for (var i = 0; i < 450; i++) await _desk.RemindAsync($"piece-{i}", Nine);

        await _desk.SweepAsync<DueReminders>();

        Assert.Equal(Enumerable.Range(0, 450).Select(i => $"piece-{i}"), await ReadAsync(watch, 450));
    }

    [Fact]
    public async Task WatchReminders_OfAnotherSite_StaysSilentWhileItsOwnArrive()
    {
        var sites = new SiteService.SiteServiceClient(_desk.Harness.Channel);
        await sites.CreateSiteAsync(new() { Parent = ReminderDesk.Studio, SiteId = "south", Site = new() { DisplayName = "South", TimeZone = "Europe/Lisbon" } });
        using var south = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio, Site = $"{ReminderDesk.Studio}/sites/south" });
        await SendAsync("north-1");
        await _desk.RemindAsync("south-1", Nine);
        await _desk.Harness.Writer.WriteAsync(tx => tx.Execute(
            "UPDATE reminders SET site = @site WHERE subject LIKE '%south-1'", new { site = $"{ReminderDesk.Studio}/sites/south" }));
        await _desk.SweepAsync<DueReminders>();

        Assert.Equal(["south-1"], await ReadAsync(south, 1));
    }

    [Fact]
    public async Task WatchReminders_NodeStops_EndsInGoodOrder()
    {
        await SendAsync("walnut-7");
        using var watch = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio });
        await ReadAsync(watch, 1);

        _desk.Harness.Services.GetRequiredService<IHostApplicationLifetime>().StopApplication();

        Assert.Empty(await ReadAsync(watch, 1));
        Assert.Equal(StatusCode.OK, watch.GetStatus().StatusCode);
    }

    [Theory]
    [InlineData("none", StatusCode.NotFound, "REMINDER_NOT_FOUND")]
    [InlineData(null, StatusCode.FailedPrecondition, "REMINDER_STATE")]
    public async Task WatchReminders_LastSeenThatNeverWentOut_IsRefused(string? id, StatusCode code, string reason)
    {
        await _desk.RemindAsync("waiting", Nine.AddDays(1));
        var last = id is null ? _desk.Reminders()[0].Name : $"{ReminderDesk.Studio}/reminders/{id}";
        using var watch = _desk.Client.WatchReminders(new() { Parent = ReminderDesk.Studio, LastSeenReminder = last });

        var refusal = await Assert.ThrowsAsync<RpcException>(() => watch.ResponseStream.MoveNext());

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    private async Task SendAsync(string subject)
    {
        await _desk.RemindAsync(subject, Nine);
        await _desk.SweepAsync<DueReminders>();
    }

    /// <summary>Ids of the subjects of the next reminders; fails rather than waits for ever.</summary>
    private static async Task<IReadOnlyList<string>> ReadAsync(AsyncServerStreamingCall<Reminder> watch, int count)
    {
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(30));
        var subjects = new List<string>();
        while (subjects.Count < count && await watch.ResponseStream.MoveNext(patience.Token))
            subjects.Add(watch.ResponseStream.Current.Subject.Split('/')[^1]);
        return subjects;
    }
}
