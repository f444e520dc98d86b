using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Prep;

/// <summary>Says once a site and day what is overdue before a pour.</summary>
public sealed class OverduePrep(StudioReads reads, StudioWriter writer, TimeProvider clock) : ConditionSweep(reads, writer, clock)
{
    protected override ReminderChanges Look(StudioSession session, long nowMs) =>
        OverdueDigest.Decide(PrepTaskStore.Overdue(session, nowMs), ReminderStore.LiveDigests(session), nowMs);
}

/// <summary>One digest a site and local day, not one message a task.</summary>
public static class OverdueDigest
{
    /// <summary>The changes. <paramref name="live"/> are the digests that stand, oldest first.</summary>
    /// <remarks>
    /// What waits for the end of quiet hours is written anew as things are done; what is out stands for its day, as one more thing
    /// that is late is no second message. The next day's takes its place. Where nothing is overdue any more it goes without a word.
    /// </remarks>
    public static ReminderChanges Decide(IReadOnlyList<OverdueTask> overdue, IReadOnlyList<ReminderRecord> live, long nowMs)
    {
        var changes = new ReminderChanges();
        var told = live.ToLookup(digest => digest.Subject);
        foreach (var site in overdue.GroupBy(task => task.Site)) Decide(changes, [.. site], [.. told[site.Key]], nowMs);
        foreach (var digest in live.Where(digest => overdue.All(task => task.Site != digest.Subject))) changes.Drop(digest, "nothing is overdue any more");
        return changes;
    }

    private static void Decide(ReminderChanges changes, IReadOnlyList<OverdueTask> tasks, IReadOnlyList<ReminderRecord> told, long nowMs)
    {
        var zone = tasks[0].TimeZone;
        var text = ClassTexts.Overdue(tasks, TimeZoneInfo.FindSystemTimeZoneById(zone));
        var today = LocalTimes.At(zone, nowMs).Date;
        foreach (var earlier in told.Where(digest => LocalTimes.At(zone, digest.RemindMs).Date < today)) changes.Drop(earlier, "told anew today");
        var ofToday = told.LastOrDefault(digest => LocalTimes.At(zone, digest.RemindMs).Date == today);
        if (ofToday is null) changes.Add(Draft(tasks[0], text, nowMs));
        else if (!ofToday.IsOut) changes.Move(ofToday, ofToday.RemindMs, text);
    }

    private static ReminderDraft Draft(OverdueTask first, string text, long nowMs) => new()
    {
        Studio = first.Studio,
        Site = first.Site,
        Kind = Reminder.Types.Kind.PrepOverdue,
        Subject = first.Site,
        Text = text,
        RecipientRole = Contact.Types.Role.Assistant,
        RemindMs = nowMs,
    };
}
