using Microsoft.Extensions.Logging;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Telemetry;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>Carries what was sent to mail and webhooks: claims an attempt, tries it outside the writer, keeps how it ended.</summary>
/// <remarks>At least once: a crash after the other side took it, before that is saved, repeats it with the same id.</remarks>
public sealed class DeliverReminders(
    StudioReads reads,
    StudioWriter writer,
    IEnumerable<IReminderChannel> channels,
    TimeProvider clock,
    ReminderOptions options,
    ILogger<DeliverReminders> logger) : ISweep
{
    private readonly Dictionary<string, IReminderChannel> _channels = channels.ToDictionary(channel => channel.Channel);

    public async Task RunAsync(CancellationToken ct)
    {
        while (reads.Read(reading => DeliveryStore.IsAnyDue(reading, clock.GetUtcNow().ToUnixMs())))
        {
            var (claimed, attempted) = await writer.WriteAsync(tx => (DeliveryStore.Claim(tx, options.Delivery), tx.Now), ct);
            // All that is due waits for what went before it.
            if (claimed.Count == 0) return;
            await Task.WhenAll(claimed.Select(delivery => AttemptAsync(delivery, attempted, ct)));
        }
    }

    private async Task AttemptAsync(ClaimedDelivery delivery, DateTimeOffset attempted, CancellationToken ct)
    {
        using var span = StudioTelemetry.BeginDelivery(delivery.Reminder, delivery.Channel, delivery.TraceParent);
        var outcome = await TryAsync(delivery, attempted, ct);
        StudioTelemetry.EndDelivery(span, delivery.Channel, outcome.End.ToString(), outcome.Error);
        var isAgain = outcome.End == DeliveryEnd.Failed && delivery.Attempts < options.Delivery.AttemptMax;
        await writer.WriteAsync(tx => DeliveryStore.Record(tx, delivery, outcome, isAgain), ct);
        if (outcome.End != DeliveryEnd.Delivered) Tell(delivery, outcome, isAgain);
    }

    private void Tell(ClaimedDelivery delivery, DeliveryOutcome outcome, bool isAgain) => logger.Log(
        outcome.End == DeliveryEnd.Off ? LogLevel.Information : isAgain ? LogLevel.Warning : LogLevel.Error,
        "Reminder {Reminder} by {Channel}, attempt {Attempts}: {Error} {Consequence}",
        delivery.Reminder, delivery.Channel, delivery.Attempts, outcome.Error, isAgain ? "It is tried again." : "Given up.");

    private async Task<DeliveryOutcome> TryAsync(ClaimedDelivery delivery, DateTimeOffset attempted, CancellationToken ct)
    {
        try
        {
            var reminder = reads.Read(reading => ReminderStore.GetReminder(reading, delivery.Reminder));
            return await _channels[delivery.Channel].SendAsync(reminder, delivery.Address, attempted, ct);
        }
        catch (Exception e) when (!ct.IsCancellationRequested)
        {
            return DeliveryOutcome.Failed(e.GetBaseException().Message);
        }
    }
}
