using Grpc.Core;
using Microsoft.Extensions.Hosting;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>gRPC of reminders.proto.</summary>
public sealed class ReminderService(
    WriteRequests writes, StudioReads reads, CommitSignal commits, TimeProvider clock, IHostApplicationLifetime lifetime)
    : V1.ReminderService.ReminderServiceBase
{
    /// <summary>Reminders a look while watching.</summary>
    private const int WatchBatchMax = 200;

    private static readonly WriteOptions Together = new(WriteFlags.BufferHint);

    /// <summary>A watch looks without a commit, in case another process has committed. Common practice, no source.</summary>
    private static readonly TimeSpan WatchPauseMax = TimeSpan.FromSeconds(1);

    public override Task<Reminder> GetReminder(GetReminderRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Reminder).ThrowIfAny();
        return Task.FromResult(reads.Read(session => ReminderStore.GetReminder(session, request.Name).ToProto()));
    }

    public override Task<ListRemindersResponse> ListReminders(ListRemindersRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(Enum.IsDefined(request.State), "state", "must be a state of a reminder.", request.State.ToString());
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
        var page = Paging.Read(
            request.PageSize, request.PageToken, nameof(ListReminders), request.Parent, request.State.ToString(), request.Site);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var rows = ReminderStore.ListReminders(session, request.Parent, request.State, request.Site, page);
            var (reminders, next) = page.Cut(rows, reminder => reminder.Sequence);
            return new ListRemindersResponse { Reminders = { reminders.Select(reminder => reminder.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Reminder> AcknowledgeReminder(AcknowledgeReminderRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Reminder)
            .Text("acknowledger", request.Acknowledger, 80)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            if (Reminders.AcknowledgeReminder.IsNeeded(ReminderStore.GetReminder(tx, request.Name)))
                ReminderStore.MarkAcknowledged(tx, request.Name, request.Acknowledger);
            return ReminderStore.GetReminder(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override async Task WatchReminders(
        WatchRemindersRequest request, IServerStreamWriter<Reminder> responseStream, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        if (request.LastSeenReminder.Length > 0)
            checks.Name("last_seen_reminder", request.LastSeenReminder, ResourceKind.Reminder, request.Parent);
        checks.ThrowIfAny();
        await WatchAsync(request, responseStream, context.CancellationToken);
    }

    /// <summary>Ends with the client's patience, or in good order when the node stops.</summary>
    private async Task WatchAsync(WatchRemindersRequest request, IServerStreamWriter<Reminder> stream, CancellationToken ct)
    {
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(ct, lifetime.ApplicationStopping);
        var (cursor, head) = reads.Read(session => Start(session, request));
        var next = commits.NextAsync(ending.Token);
        while (!ending.IsCancellationRequested)
        {
            // One wait for a commit outlasts many looks: a new one each second would pile up on a quiet node.
            if (next.IsCompleted) next = commits.NextAsync(ending.Token);
            var gone = reads.Read(session =>
                ReminderStore.SentAfter(session, request.Parent, request.Site, cursor, head, WatchBatchMax));
            foreach (var (index, reminder) in gone.Index())
            {
                // What is read together travels together.
                stream.WriteOptions = index < gone.Count - 1 ? Together : null;
                await stream.WriteAsync(reminder.ToProto(), ct);
                cursor = reminder.SendSequence!.Value;
            }
            if (gone.Count < WatchBatchMax)
                await next.WaitAsync(WatchPauseMax, clock, ending.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>Where a watch begins: at the first, of which up to the head only the open ones count; or after the last one seen.</summary>
    private static (long Cursor, long Head) Start(StudioSession session, WatchRemindersRequest request)
    {
        SiteStore.GetStudio(session, request.Parent);
        if (request.LastSeenReminder.Length == 0) return (0, ReminderStore.LastSendSequence(session));
        var seen = ReminderStore.GetReminder(session, request.LastSeenReminder);
        var place = seen.SendSequence ?? throw Refusal.Precondition(
            Reasons.ReminderState, $"{seen.Name} has not gone out, so it cannot be the last one seen. Send the last one the watch gave.",
            ("reminder", seen.Name), ("state", seen.State.ToString()));
        return (place, place);
    }
}
