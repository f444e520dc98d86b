using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Recalls;

/// <summary>Asks those again who did not answer a recall, in one write with how far each has come: nobody is asked twice for one step.</summary>
public sealed class ChaseRecalls(StudioReads reads, StudioWriter writer, TimeProvider clock, RecallOptions options) : ISweep
{
    /// <summary>Notices a write: other writes pass between two of them.</summary>
    private const int BatchMax = 500;

    public async Task RunAsync(CancellationToken ct)
    {
        while (reads.Read(session => RecallStore.DueNotices(session, clock.GetUtcNow().ToUnixMs(), 1)).Count > 0
            && await writer.WriteAsync(Chase, ct) == BatchMax) { }
    }

    private int Chase(StudioTransaction tx)
    {
        var nowMs = tx.Now.ToUnixMs();
        var notices = RecallStore.DueNotices(tx, nowMs, BatchMax);
        var recalls = notices.Select(notice => notice.Recall).Distinct().ToDictionary(name => name, name => RecallStore.GetRecall(tx, name));
        var due = notices.Select(notice => new DueNotice(
            notice, recalls[notice.Recall], SiteStore.GetStudio(tx, recalls[notice.Recall].Studio).DisplayName, EmailOf(tx, notice))).ToList();
        var (after, changes) = ChaseNotices.Decide(due, options, nowMs);
        RecallStore.SaveChase(tx, after);
        ReminderStore.Save(tx, changes);
        return notices.Count;
    }

    private static string EmailOf(StudioSession session, NoticeRecord notice) => !ResourceKind.Student.Matches(notice.Recipient)
        ? notice.Email
        : StudentStore.FindStudent(session, notice.Recipient) is { IsReachable: true } student ? student.ContactEmail : "";
}
