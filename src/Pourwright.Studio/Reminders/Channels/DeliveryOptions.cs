using MailKit.Security;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>How often and how long a delivery is tried. Common practice, no source.</summary>
public sealed record DeliveryOptions
{
    /// <summary>Attempts before a delivery is given up: with the delays below, after about nine hours.</summary>
    public int AttemptMax { get; init; } = 12;

    /// <summary>From the first attempt to the second; doubles with each.</summary>
    public TimeSpan DelayMin { get; init; } = TimeSpan.FromSeconds(30);

    public TimeSpan DelayMax { get; init; } = TimeSpan.FromHours(2);

    /// <summary>Deliveries claimed at a time; they go out side by side.</summary>
    public int BatchMax { get; init; } = 32;

    /// <summary>From the n-th attempt (from 1) to the next.</summary>
    public TimeSpan DelayAfter(int attempt) =>
        TimeSpan.FromTicks((long)Math.Min(DelayMax.Ticks, DelayMin.Ticks * Math.Pow(2, attempt - 1)));
}

/// <summary>Where mail is handed in. Without a host no mail goes out, and each delivery says so.</summary>
public sealed record MailOptions
{
    public string Host { get; init; } = "";

    public int Port { get; init; } = 587;

    public SecureSocketOptions Security { get; init; } = SecureSocketOptions.StartTls;

    /// <summary>Empty: no sign-in.</summary>
    public string User { get; init; } = "";

    public string Password { get; init; } = "";

    /// <summary>Address mail comes from; its domain ends every Message-Id.</summary>
    public string From { get; init; } = "pourwright@localhost";

    /// <summary>Of a whole delivery. Common practice, no source.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(20);
}

/// <summary>Whither webhooks may go: nowhere, unless named here.</summary>
public sealed record WebhookOptions
{
    /// <summary>Hosts as `name`, or `name:port` where the port is unusual. Nothing is reached that is not listed.</summary>
    public IReadOnlyList<string> Hosts { get; init; } = [];

    /// <summary>Networks in CIDR form, such as `10.1.0.0/16`, that may be reached although they are not public.</summary>
    public IReadOnlyList<string> PrivateNetworks { get; init; } = [];

    /// <summary>Each signs: `whsec_` and base64 of 24 to 64 bytes. Newest first; two while receivers change over.</summary>
    public IReadOnlyList<string> Secrets { get; init; } = [];

    /// <summary>Of a whole delivery. Common practice, no source.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(10);
}
