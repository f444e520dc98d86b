using Pourwright.Studio.Storage;
using Pourwright.V1;
using Answer = Pourwright.V1.RecallNotice.Types.Answer;

namespace Pourwright.Studio.Recalls;

/// <summary>How far a recall has come, from its notices.</summary>
public static class RecallProgress
{
    public static RecallStatus Decide(RecallRecord recall, IReadOnlyList<NoticeRecord> notices)
    {
        var reachable = notices.Where(notice => notice.IsReachable).ToList();
        return new()
        {
            StartTime = Instants.ToTimestamp(recall.StartMs),
            ListTime = Instants.ToTimestamp(recall.ListMs),
            HoldTime = Instants.ToTimestamp(recall.HoldMs),
            TellTime = Instants.ToTimestamp(Last(reachable, notice => notice.TellMs)),
            AnswerTime = Instants.ToTimestamp(Last(notices, notice => notice.AnswerMs)),
            CloseTime = Instants.ToTimestamp(recall.CloseMs),
            PieceCount = recall.PieceCount,
            HandedOverCount = recall.HandedOverCount,
            StockMassMg = recall.StockMassMg,
            PersonCount = recall.PersonCount,
            ReachableCount = recall.ReachableCount,
            ToldCount = notices.Count(notice => notice.TellMs is not null),
            AnsweredCount = notices.Count(notice => notice.AnswerMs is not null),
            ReachedCount = notices.Count(notice => notice.Answer is Answer.Returned or Answer.Kept),
        };
    }

    /// <summary>When the last of all had it; null while one has not, and where there is none.</summary>
    private static long? Last(IReadOnlyList<NoticeRecord> notices, Func<NoticeRecord, long?> when) =>
        notices.All(notice => when(notice) is not null) ? notices.Max(when) : null;
}
