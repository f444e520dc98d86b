using System.Diagnostics.Metrics;
using System.Text.Json;
using MassTransit;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Telemetry;

namespace Pourwright.Studio.Messaging;

/// <summary>Hands saved messages to the bus, in the order of their commits, and marks them.</summary>
/// <remarks>
/// A bus in memory forgets on a crash what it was handed: so at the start every unfinished message is handed over again. A broker does
/// not forget, and others may have these messages in hand: there only <see cref="ReopenStuckMessages"/> hands over again.
/// Delivery is at least once; the inbox makes the effect exactly once.
/// </remarks>
public sealed class Relay(
    StudioReads reads,
    StudioWriter writer,
    CommitSignal commits,
    IBus bus,
    MessageKinds kinds,
    RelayTurn turn,
    BusSettings settings,
    TimeProvider clock,
    IMeterFactory meters,
    ILogger<Relay> logger) : BackgroundService
{
    private const int BatchMax = 256;

    /// <summary>Messages the bus may hold at once. A long backlog stays on disk; those that failed already are not counted, so they block nobody.</summary>
    private const int InFlightMax = 4 * BatchMax;

    /// <summary>Wakes without a commit, in case another process has committed. Common practice, no source.</summary>
    private static readonly TimeSpan PauseMax = TimeSpan.FromSeconds(5);

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        if (settings.IsShared) await turn.GiveBackAsync();
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var figures = meters.Create(StudioTelemetry.Name);
        figures.CreateObservableGauge("pourwright.messages.unfinished", () => reads.Read(Outbox.CountUnfinished), "{message}", "Messages saved that have not had their effect.");
        var isReopened = settings.IsShared;
        while (!stoppingToken.IsCancellationRequested)
        {
            var next = commits.NextAsync(stoppingToken);
            try
            {
                if (!isReopened) await ReopenAsync(stoppingToken);
                isReopened = true;
                await RelayUnsentAsync(stoppingToken);
            }
            catch (Exception e) when (!stoppingToken.IsCancellationRequested)
            {
                logger.LogError(e, "Messages could not be handed to the bus; they stay saved and are tried again.");
            }
            await next.WaitAsync(PauseMax, clock, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>What a bus in memory was handed before this node started is gone with it.</summary>
    internal Task<int> ReopenAsync(CancellationToken ct) =>
        writer.WriteAsync(transaction => Outbox.Reopen(transaction, DateTimeOffset.MaxValue), ct);

    /// <summary>Hands over what is unsent, as far as the turn and the bus allow.</summary>
    internal async Task RelayUnsentAsync(CancellationToken ct)
    {
        while (reads.Read(Outbox.IsAnyUnsent) && await MayRelayAsync(ct) && await RelayBatchAsync(ct)) { }
    }

    private async Task<bool> MayRelayAsync(CancellationToken ct) => !settings.IsShared || await turn.TakeAsync(ct);

    private async Task<bool> RelayBatchAsync(CancellationToken ct)
    {
        var unsent = reads.Read(reading => Outbox.CountInFlight(reading) < InFlightMax ? Outbox.Unsent(reading, BatchMax) : []);
        // A broker that is away holds up a publish: whoever's turn ends meanwhile must not go on when it is back.
        using var turnEnd = settings.IsShared ? new CancellationTokenSource(turn.Left, clock) : new();
        using var end = CancellationTokenSource.CreateLinkedTokenSource(ct, turnEnd.Token);
        List<long> handedOver = [];
        try
        {
            foreach (var message in unsent)
            {
                await PublishAsync(message, end.Token);
                handedOver.Add(message.Sequence);
            }
        }
        finally
        {
            if (handedOver.Count > 0) await writer.WriteAsync(transaction => Outbox.MarkPublished(transaction, handedOver), CancellationToken.None);
        }
        return unsent.Count == BatchMax;
    }

    private async Task PublishAsync(UnsentMessage message, CancellationToken ct)
    {
        using var span = StudioTelemetry.BeginPublish(message.Kind, message.TraceParent);
        try
        {
            await bus.Publish(Read(message), context => Address(context, message.MessageId), ct);
        }
        catch (Exception e) when (e is JsonException or NotSupportedException)
        {
            await writer.WriteAsync(transaction => Outbox.CountFailure(transaction, message.MessageId, e.Message), ct);
            logger.LogError(e, "Message {MessageId} of kind {Kind} cannot be read; it stays unfinished.", message.MessageId, message.Kind);
        }
    }

    private static void Address(PublishContext context, string messageId)
    {
        context.MessageId = Guid.Parse(messageId);
        // A broker confirms also what no queue takes, as after it lost its disk: then the publish must fail.
        if (context.TryGetPayload(out RabbitMqSendContext? toBroker)) toBroker.Mandatory = true;
    }

    private object Read(UnsentMessage message) =>
        kinds.Find(message.Kind) is { } type
            ? JsonSerializer.Deserialize(message.Body, type) ?? throw new JsonException("The body is null.")
            : throw new NotSupportedException($"No consumer in this build takes {message.Kind}.");
}
