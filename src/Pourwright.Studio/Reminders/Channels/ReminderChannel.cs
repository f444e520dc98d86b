namespace Pourwright.Studio.Reminders.Channels;

/// <summary>How an attempt ended; without an error it was delivered.</summary>
/// <param name="Error">What went wrong, for the person who looks after the node; null for nothing.</param>
/// <param name="IsFinal">Another attempt cannot help.</param>
public sealed record DeliveryOutcome(string? Error, bool IsFinal = false)
{
    public static readonly DeliveryOutcome Delivered = new((string?)null);

    public static DeliveryOutcome Failed(string error) => new(error);

    public static DeliveryOutcome Refused(string error) => new(error, IsFinal: true);
}

/// <summary>A way to a person outside of the studio's own pages. At least once: what arrives carries the reminder's id, so that a double can be told.</summary>
public interface IReminderChannel
{
    /// <summary>`email` or `webhook`, as in `deliveries`.</summary>
    string Channel { get; }

    /// <summary>Tries once. An exception counts as a failure that another attempt may mend.</summary>
    /// <param name="attempted">When this attempt was claimed.</param>
    Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct);
}
