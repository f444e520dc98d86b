using Pourwright.Evidence.Watch;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.V1;

namespace Pourwright.Studio.Suspects;

/// <summary>An alarm that people were told of: a row of `site_alarms`.</summary>
/// <param name="Watched">Which kinds, see <see cref="DefectKinds.Watched"/>.</param>
public sealed record ToldAlarm(string Site, string Watched, string FirstPiece, string LastPiece);

/// <summary>An alarm nobody was told of, and what is said.</summary>
public sealed record NewAlarm(ToldAlarm Told, ReminderDraft Reminder);

/// <summary>Which alarms are news.</summary>
public static class AlarmNews
{
    /// <summary>What was inspected longer ago tells nobody anything that helps: a record that was brought in late, or a node that is new. Our choice, no source.</summary>
    private static readonly TimeSpan NewsFor = TimeSpan.FromDays(14);

    /// <summary>Alarms of the last days that people were not told of.</summary>
    /// <remarks>
    /// Late records shift the order of inspection, and with it where a run begins or ends: an alarm is the same one as long as it
    /// holds the first or the last piece of one that was told.
    /// </remarks>
    public static IReadOnlyList<NewAlarm> Decide(SuspectRecords records, IReadOnlyList<ToldAlarm> told, long nowMs) =>
        [.. DefectKinds.Watched.SelectMany(watched => Decide(records, watched.Name, new WatchSites(records, watched.Kinds), told, nowMs))];

    private static IEnumerable<NewAlarm> Decide(SuspectRecords records, string watched, WatchSites sites, IReadOnlyList<ToldAlarm> told, long nowMs) =>
        from state in sites.States()
        from alarm in state.Alarms
        where sites.InspectedMs(alarm.LastPiece) >= nowMs - (long)NewsFor.TotalMilliseconds
        let pieces = sites.PiecesOf(alarm)
        where !told.Any(t => t.Site == alarm.Site && t.Watched == watched && (pieces.Contains(t.FirstPiece) || pieces.Contains(t.LastPiece)))
        select new NewAlarm(new(alarm.Site, watched, alarm.FirstPiece, alarm.LastPiece), Draft(records, watched, alarm, sites.Words(alarm), nowMs));

    private static ReminderDraft Draft(SuspectRecords records, string watched, SiteAlarm alarm, string words, long nowMs) => new()
    {
        Studio = records.Scope.Studio,
        Site = alarm.Site,
        Kind = Reminder.Types.Kind.DefectAlarm,
        Subject = alarm.Site,
        Text = $"Too many defects, {watched}. {words} It began with piece {ResourceNames.IdOf(alarm.FirstPiece)}: look what changed then, hold its sisters first and argue the cause after.",
        RecipientRole = Contact.Types.Role.Owner,
        RemindMs = nowMs,
    };
}
