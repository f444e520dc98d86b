using Pourwright.Studio.Access;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Suspects;

/// <summary>Tells the owner, once an alarm, that the defects of a site have become too many, and with which piece it began.</summary>
/// <remarks>Only a further defect can raise an alarm, so that a look costs one count while none is reported.</remarks>
public sealed class NoticeAlarms(StudioReads reads, StudioWriter writer, TimeProvider clock) : ISweep
{
    private long _defectsSeen = -1;

    public async Task RunAsync(CancellationToken ct)
    {
        var defects = reads.Read(SuspectStore.CountDefects);
        if (defects == _defectsSeen) return;
        foreach (var studio in reads.Read(AccessKeyStore.Studios))
        {
            ct.ThrowIfCancellationRequested();
            if (reads.Read(session => Look(session, studio, clock.GetUtcNow().ToUnixMs())).Count > 0)
                await writer.WriteAsync(tx => Tell(tx, Look(tx, studio, tx.Now.ToUnixMs())), ct);
        }
        _defectsSeen = defects;
    }

    private static IReadOnlyList<NewAlarm> Look(StudioSession session, string studio, long nowMs) =>
        AlarmNews.Decide(SuspectStore.LoadInspections(session, new(studio, [])), AlarmStore.Told(session, studio), nowMs);

    private static void Tell(StudioTransaction tx, IReadOnlyList<NewAlarm> alarms)
    {
        var changes = new ReminderChanges();
        foreach (var alarm in alarms)
        {
            AlarmStore.Insert(tx, alarm.Told, tx.Now.ToUnixMs());
            changes.Add(alarm.Reminder);
        }
        ReminderStore.Save(tx, changes);
    }
}

/// <summary>SQL of the alarms that people were told of.</summary>
public static class AlarmStore
{
    public static IReadOnlyList<ToldAlarm> Told(StudioSession session, string studio) => session.Query<ToldAlarm>(
        """
        SELECT a.site, a.watched, a.first_piece, a.last_piece
          FROM site_alarms a JOIN sites s ON s.name = a.site
         WHERE s.studio = @studio ORDER BY a.notice_ms, a.first_piece
        """, new { studio });

    public static void Insert(StudioTransaction tx, ToldAlarm alarm, long noticeMs) => tx.Execute(
        """
        INSERT INTO site_alarms (site, watched, first_piece, last_piece, notice_ms)
        VALUES (@Site, @Watched, @FirstPiece, @LastPiece, @noticeMs)
        """, new { alarm.Site, alarm.Watched, alarm.FirstPiece, alarm.LastPiece, noticeMs });
}
