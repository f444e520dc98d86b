using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Names;
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
        ["display_name", "time_zone", "contacts", "quiet_hours_start", "quiet_hours_end", "reminder_swing", "dew_point_margin_celsius", "teaching_hours"];

    /// <summary>The rows of a site as described.</summary>
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static (SiteRecord Site, IReadOnlyList<ContactRecord> Contacts) Decide(string name, string studio, Site site, string etag)
    {
        Check(site);
        var times = TeachingTimes.Of(site.TeachingHours);
        var record = new SiteRecord
        {
            Name = name,
            Studio = studio,
            DisplayName = site.DisplayName,
            TimeZone = site.TimeZone,
            QuietStartMinute = WholeMinutes.Of(site.QuietHoursStart) ?? QuietStartMinuteDefault,
            QuietEndMinute = WholeMinutes.Of(site.QuietHoursEnd) ?? QuietEndMinuteDefault,
            ReminderSwingMs = (long)(site.ReminderSwing?.ToTimeSpan() ?? ReminderSwingDefault).TotalMilliseconds,
            DewPointMarginCelsius = site.HasDewPointMarginCelsius ? site.DewPointMarginCelsius : DewPointMarginCelsiusDefault,
            OpeningDays = times.OpeningDays,
            MorningStartMinute = times.MorningStartMinute,
            MorningEndMinute = times.MorningEndMinute,
            AfternoonStartMinute = times.AfternoonStartMinute,
            AfternoonEndMinute = times.AfternoonEndMinute,
            Etag = etag,
        };
        return (record, [.. site.Contacts.Select(ToRecord)]);
    }

    /// <summary>The site after an update; teaching hours that a change leaves out stay as they are.</summary>
    /// <exception cref="Refusal">FIELD_INVALID for a path that cannot change, ETAG_STALE where the site was changed meanwhile.</exception>
    public static Site Merge(Site current, Site change, FieldMask? mask)
    {
        var merged = UpdateMask.Merge(current, change, mask, Changeable);
        if (merged.TeachingHours is { } hours) merged.TeachingHours = TeachingTimes.Over(current.TeachingHours, hours);
        return merged;
    }

    private static void Check(Site site)
    {
        var checks = new FieldChecks()
            .Text("site.display_name", site.DisplayName, 80)
            .Require(IsZone(site.TimeZone), "site.time_zone", "must be an IANA zone name, for example Europe/Lisbon.", site.TimeZone)
            .TimeOfDay("site.quiet_hours_start", site.QuietHoursStart)
            .TimeOfDay("site.quiet_hours_end", site.QuietHoursEnd)
            .Require(site.ReminderSwing is null || IsWithin(site.ReminderSwing, TimeSpan.Zero, TimeSpan.FromDays(2)),
                "site.reminder_swing", "must be 0 to 2 days.", site.ReminderSwing?.ToString());
        if (site.HasDewPointMarginCelsius) checks.Celsius("site.dew_point_margin_celsius", site.DewPointMarginCelsius, 0, 15);
        TeachingTimes.Check(checks, site.TeachingHours);
        for (var i = 0; i < site.Contacts.Count; i++) Check(checks, $"site.contacts[{i}]", site.Contacts[i]);
        checks.ThrowIfAny();
    }

    private static void Check(FieldChecks checks, string path, Contact contact) => checks
        .Require(contact.Role is > Contact.Types.Role.Unspecified and <= Contact.Types.Role.Assistant, $"{path}.role", "must be said.")
        .Text($"{path}.display_name", contact.DisplayName, 80)
        .Email($"{path}.email", contact.Email)
        .Require(contact.WebhookUri.Length == 0 || IsWebAddress(contact.WebhookUri),
            $"{path}.webhook_uri", "must be an http or https address, or empty.", contact.WebhookUri);

    private static ContactRecord ToRecord(Contact contact) => new()
    {
        Role = contact.Role,
        DisplayName = contact.DisplayName,
        Email = contact.Email,
        WebhookUri = contact.WebhookUri,
    };

    private static bool IsZone(string zone) => zone.Contains('/') && TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _) || zone == "UTC";

    internal static bool IsWithin(Duration duration, TimeSpan least, TimeSpan most) =>
        IsValid(duration) && duration.ToTimeSpan() is var span && span >= least && span <= most;

    // The range of google.protobuf.Duration, from its definition: nanos below a second, of the sign of the seconds.
    private static bool IsValid(Duration duration) =>
        duration.Seconds is > -315_576_000_000 and < 315_576_000_000 && duration.Nanos is > -1_000_000_000 and < 1_000_000_000
        && Math.Sign(duration.Seconds) * Math.Sign(duration.Nanos) >= 0;

    private static bool IsWebAddress(string text) =>
        text.Length <= 2000 && !text.Any(char.IsControl) && Uri.TryCreate(text, UriKind.Absolute, out var uri) && uri.Scheme is "http" or "https";
}
