using MassTransit;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>Consumes one kind of message. A second delivery does nothing.</summary>
public abstract class InboxConsumer<T>(Inbox inbox) : IConsumer<T> where T : class
{
    /// <summary>Loads and decides; may be slow. What it returns runs in one write together with the inbox row, and must load again what may have changed.</summary>
    protected abstract Task<Action<StudioTransaction>> HandleAsync(T message, CancellationToken ct);

    public async Task Consume(ConsumeContext<T> context)
    {
        var id = context.MessageId ?? throw new InvalidOperationException($"{typeof(T).Name} came without a message id; publish through the outbox.");
        var consumer = GetType().Name;
        try
        {
            await inbox.HandleOnceAsync(id, consumer, ct => HandleAsync(context.Message, ct), context.CancellationToken);
        }
        catch (Exception e) when (e is not OperationCanceledException)
        {
            await inbox.RecordFailureAsync(id, consumer, e);
            throw;
        }
    }
}
