using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>After a piece has left its mould: that somebody found it ready is learned, where no touch says more.</summary>
public sealed class LearnDemold(Inbox inbox, Lessons lessons) : InboxConsumer<PieceDemolded>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(PieceDemolded message, CancellationToken ct)
    {
        var lesson = lessons.Learn(message.Piece, message.Step, (session, facts) =>
        {
            var step = PieceStore.GetSteps(session, message.Piece).Single(step => step.Name == message.Step);
            var touches = PieceStore.GetChecks(session, message.Piece).Where(check => check.Touch != Check.Types.Touch.Unspecified);
            return LearningTerms.Demolded(
                Lessons.Hours(facts, step.StepMs),
                [.. touches.Select(check => (Lessons.Hours(facts, check.CheckMs), check.Touch == Check.Types.Touch.Firm))]);
        });
        return Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            if (lesson is null) return;
            if (lessons.TrySave(tx, lesson)) LotNews.Apply(tx, lesson);
            else tx.Publish(message);
        });
    }
}
