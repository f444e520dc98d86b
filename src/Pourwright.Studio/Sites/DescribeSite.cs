using Google.Protobuf.WellKnownTypes;
using Google.Type;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Sites;

/// <summary>What a site may say of itself, and what it means where it says nothing.</summary>
public static class DescribeSite
{
    /// <summary>21:00 and 07:00 local time: common practice, no source.</summary>
    private const int QuietStartMinuteDefault = 21 * 60, QuietEndMinuteDefault = 7 * 60;

    /// <summary>Two hours: nobody rebooks a planer for less. Common practice, no source.</summary>
    private static readonly TimeSpan ReminderSwingDefault = TimeSpan.FromHours(2);

    /// <summary>3 °C over the dew point: common coating practice, no source.</summary>
    private const double DewPointMarginCelsiusDefault = 3;

    /// <summary>How often a sensor reports where nothing is said: common practice, no source.</summary>
    public static readonly TimeSpan ReportIntervalDefault = TimeSpan.FromMinutes(15);

    /// <summary>Thickness of the panel under a mould where nothing is said, mm: common practice, no source.</summary>
    public const double BoardThicknessMmDefault = 18;

    private static readonly string[] Changeable =
        ["display_name", "time_zone", "contacts", "quiet_hours_start", "quiet_hours_end", "reminder_swing", "dew_point_margin_celsius"];

    /// <summary>The rows of a site as described.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static (SiteRecord Site, IReadOnlyList<ContactRecord> Contacts) Decide(string name, string studio, Site site, string etag)
    {
        Check(site);
        var record = new SiteRecord
        {
            Name = name,
            Studio = studio,
            DisplayName = site.DisplayName,
            TimeZone = site.TimeZone,
            QuietStartMinute = Minute(site.QuietHoursStart) ?? QuietStartMinuteDefault,
            QuietEndMinute = Minute(site.QuietHoursEnd) ?? QuietEndMinuteDefault,
            ReminderSwingMs = (long)(site.ReminderSwing?.ToTimeSpan() ?? ReminderSwingDefault).TotalMilliseconds,
            DewPointMarginCelsius = site.HasDewPointMarginCelsius ? site.DewPointMarginCelsius : DewPointMarginCelsiusDefault,
            Etag = etag,
        };
        return (record, [.. site.Contacts.Select(ToRecord)]);
    }

    /// <summary>The site after an update: fields of the mask from <paramref name="change"/>, the rest as it is.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the site was changed meanwhile.</exception>
    public static Site Merge(Site current, Site change, FieldMask? mask)
    {
        if (change.Etag.Length > 0 && change.Etag != current.Etag) throw Refusal.EtagStale(current.Name, change.Etag, current.Etag);
        var merged = current.Clone();
        foreach (var path in Paths(change, mask)) Copy(path, change, merged);
        return merged;
    }

    private static IEnumerable<string> Paths(Site change, FieldMask? mask)
    {
        if (mask is null) return Changeable.Where(path => IsSet(path, change));
        if (mask.Paths is ["*"]) return Changeable;
        var checks = new FieldChecks();
        foreach (var path in mask.Paths)
            checks.Require(Changeable.Contains(path), "update_mask", $"may name {string.Join(", ", Changeable)}, or be `*`.", path);
        checks.ThrowIfAny();
        return mask.Paths;
    }

    private static bool IsSet(string path, Site change) =>
        Site.Descriptor.FindFieldByName(path) is var field && field.IsRepeated ? change.Contacts.Count > 0
        : field.HasPresence ? field.Accessor.HasValue(change)
        : field.Accessor.GetValue(change) is string { Length: > 0 };

    private static void Copy(string path, Site from, Site to)
    {
        var field = Site.Descriptor.FindFieldByName(path);
        field.Accessor.Clear(to);
        if (field.IsRepeated) to.Contacts.Add(from.Contacts);
        else if (!field.HasPresence || field.Accessor.HasValue(from)) field.Accessor.SetValue(to, field.Accessor.GetValue(from));
    }

    private static void Check(Site site)
    {
        var checks = new FieldChecks()
            .Text("site.display_name", site.DisplayName, 80)
            .Require(IsZone(site.TimeZone), "site.time_zone", "must be an IANA zone name, for example Europe/Lisbon.", site.TimeZone)
            .Require(Minute(site.QuietHoursStart) is null or (>= 0 and < 1440), "site.quiet_hours_start", "must be 00:00 to 23:59.")
            .Require(Minute(site.QuietHoursEnd) is null or (>= 0 and < 1440), "site.quiet_hours_end", "must be 00:00 to 23:59.")
            .Require(site.ReminderSwing is null || IsWithin(site.ReminderSwing, TimeSpan.Zero, TimeSpan.FromDays(2)),
                "site.reminder_swing", "must be 0 to 2 days.", site.ReminderSwing?.ToString());
        if (site.HasDewPointMarginCelsius) checks.Celsius("site.dew_point_margin_celsius", site.DewPointMarginCelsius, 0, 15);
        for (var i = 0; i < site.Contacts.Count; i++) Check(checks, $"site.contacts[{i}]", site.Contacts[i]);
        checks.ThrowIfAny();
    }

    private static void Check(FieldChecks checks, string path, Contact contact) => checks
        .Require(contact.Role is > Contact.Types.Role.Unspecified and <= Contact.Types.Role.Assistant, $"{path}.role", "must be said.")
        .Text($"{path}.display_name", contact.DisplayName, 80)
        .Require(contact.Email.Length == 0 || (contact.Email.Length <= 254 && MimeKit.MailboxAddress.TryParse(contact.Email, out _)),
            $"{path}.email", "must be an e-mail address, or empty.", contact.Email)
        .Require(contact.WebhookUri.Length == 0 || IsWebAddress(contact.WebhookUri),
            $"{path}.webhook_uri", "must be an http or https address, or empty.", contact.WebhookUri);

    private static ContactRecord ToRecord(Contact contact) => new()
    {
        Role = contact.Role,
        DisplayName = contact.DisplayName,
        Email = contact.Email,
        WebhookUri = contact.WebhookUri,
    };

    private static int? Minute(TimeOfDay? time) => time is null ? null : time.Hours * 60 + time.Minutes;

    private static bool IsZone(string zone) => zone.Contains('/') && TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _) || zone == "UTC";

    internal static bool IsWithin(Duration duration, TimeSpan least, TimeSpan most) =>
        duration.Seconds is > -315_576_000_000 and < 315_576_000_000 && duration.ToTimeSpan() is var span && span >= least && span <= most;

    private static bool IsWebAddress(string text) =>
        text.Length <= 2000 && Uri.TryCreate(text, UriKind.Absolute, out var uri) && uri.Scheme is "http" or "https";
}
