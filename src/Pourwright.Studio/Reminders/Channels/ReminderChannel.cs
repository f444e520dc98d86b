namespace Pourwright.Studio.Reminders.Channels;

/// <summary>How an attempt ended.</summary>
public enum DeliveryEnd
{
    Delivered,

    /// <summary>Another attempt may help.</summary>
    Failed,

    /// <summary>Another attempt cannot help.</summary>
    Refused,

    /// <summary>This node has no such channel.</summary>
    Off,
}

/// <summary>How an attempt ended, and what went wrong, for the person who looks after the node; empty for nothing.</summary>
public sealed record DeliveryOutcome(DeliveryEnd End, string Error)
{
    public static readonly DeliveryOutcome Delivered = new(DeliveryEnd.Delivered, "");

    public static DeliveryOutcome Failed(string error) => new(DeliveryEnd.Failed, error);

    public static DeliveryOutcome Refused(string error) => new(DeliveryEnd.Refused, error);

    public static DeliveryOutcome Off(string error) => new(DeliveryEnd.Off, error);
}

/// <summary>A way to a person outside of the inbox. At least once: what arrives carries the reminder's id, so that a double can be told.</summary>
public interface IReminderChannel
{
    /// <summary>`email` or `webhook`, as in `deliveries`.</summary>
    string Channel { get; }

    /// <summary>Tries once. An exception counts as a failure that another attempt may mend.</summary>
    /// <param name="attempted">When this attempt was claimed.</param>
    Task<DeliveryOutcome> SendAsync(ReminderRecord reminder, string address, DateTimeOffset attempted, CancellationToken ct);
}
