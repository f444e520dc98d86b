using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.V1;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>A notice whose time has come, as its recall and its student stand now.</summary>
/// <param name="Email">Where it goes now: people move, and take their consent back; empty where nothing may be sent any more.</param>
public sealed record DueNotice(NoticeRecord Notice, RecallRecord Recall, string Studio, string Email);

/// <summary>Who did not answer is asked twice more, then the owner goes after them, and nobody writes any more.</summary>
public static class ChaseNotices
{
    private const int ChasesMax = 2;

    /// <summary>The notices after it, and what is said. Those that are handed to the owner are told together, once a recall and site.</summary>
    /// <remarks>Every step counts from the one that was done before it: after days of standstill people are not asked twice in a minute.</remarks>
    public static (IReadOnlyList<NoticeRecord> Notices, ReminderChanges Changes) Decide(IReadOnlyList<DueNotice> due, RecallOptions options, long nowMs)
    {
        var changes = new ReminderChanges();
        var asked = due.Where(IsAskedAgain).ToList();
        var given = due.Except(asked).ToList();
        foreach (var one in asked)
            changes.Add(TellRecall.Draft(one.Recall, one.Notice with { Email = one.Email }, Reminder.Types.Kind.RecallUnanswered,
                RecallTexts.Again(one.Studio, one.Recall.Name, one.Notice.Role), safety: false, nowMs));
        foreach (var together in given.GroupBy(one => (one.Recall.Name, one.Notice.Site))) changes.Add(GiveToOwner([.. together], nowMs));
        return ([.. asked.Select(one => Asked(one.Notice, options, nowMs)), .. given.Select(one => one.Notice with { ChaseDueMs = null, HandOverMs = nowMs })], changes);
    }

    private static bool IsAskedAgain(DueNotice one) => one.Email.Length > 0 && one.Notice.ChaseCount < ChasesMax;

    private static NoticeRecord Asked(NoticeRecord notice, RecallOptions options, long nowMs)
    {
        var untilNext = notice.ChaseCount == 0 ? options.SecondChaseAfter - options.FirstChaseAfter : options.HandOverAfter - options.SecondChaseAfter;
        return notice with { ChaseCount = notice.ChaseCount + 1, ChaseDueMs = nowMs + (long)untilNext.TotalMilliseconds };
    }

    private static ReminderDraft GiveToOwner(IReadOnlyList<DueNotice> together, long nowMs) => new()
    {
        Studio = together[0].Recall.Studio,
        Site = together[0].Notice.Site,
        Kind = Reminder.Types.Kind.RecallUnanswered,
        Subject = together[0].Recall.Name,
        Text = RecallTexts.GiveUp(
            together[0].Recall.Name,
            together.Count(one => one.Notice.Role == Role.Maker),
            together.Count(one => one.Notice.Role == Role.Contact),
            [.. together.SelectMany(one => one.Notice.PieceNames).Select(ResourceNames.IdOf)]),
        RecipientRole = Contact.Types.Role.Owner,
        RemindMs = nowMs,
    };
}
