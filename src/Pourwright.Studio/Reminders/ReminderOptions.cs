using Pourwright.Studio.Reminders.Channels;

namespace Pourwright.Studio.Reminders;

/// <summary>How patient reminders are. Every default is common practice, no source; a studio sets its own.</summary>
public sealed record ReminderOptions
{
    /// <summary>From sending to the next role, where somebody may be hurt.</summary>
    public TimeSpan EscalateSafetyAfter { get; init; } = TimeSpan.FromMinutes(30);

    /// <summary>From sending to the next role, for a silent sensor or a damp bench: the cure goes on meanwhile.</summary>
    public TimeSpan EscalateRoomAfter { get; init; } = TimeSpan.FromMinutes(30);

    /// <summary>From sending to the next role, for all that only moves the day's plan.</summary>
    public TimeSpan EscalateScheduleAfter { get; init; } = TimeSpan.FromHours(4);

    /// <summary>How long before its expiry a container is spoken of.</summary>
    public TimeSpan LotExpiryAhead { get; init; } = TimeSpan.FromDays(14);

    /// <summary>How far above the site's margin ends a climate warning, °C: one damp evening stays one warning.</summary>
    public double ClimateHysteresisCelsius { get; init; } = 1;

    /// <summary>Rows a write: other writes pass between two of them.</summary>
    public int BatchMax { get; init; } = 500;

    public DeliveryOptions Delivery { get; init; } = new();

    public MailOptions Mail { get; init; } = new();

    public WebhookOptions Webhooks { get; init; } = new();
}
