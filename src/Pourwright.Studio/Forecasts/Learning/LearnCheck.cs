using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>After a check: the resin is judged by it, the piece forecast anew, and a tacky or soft piece takes back what was announced of it.</summary>
public sealed class LearnCheck(Inbox inbox, Lessons lessons) : InboxConsumer<CheckRecorded>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(CheckRecorded message, CancellationToken ct)
    {
        var lesson = lessons.Learn(message.Piece, message.Check, (session, facts) =>
        {
            var check = PieceStore.GetChecks(session, message.Piece).Single(check => check.Name == message.Check);
            return LearningTerms.Observations(check, Lessons.Hours(facts, check.CheckMs));
        });
        return Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            var contradiction = Contradiction(
                PieceStore.GetChecks(tx, message.Piece), PieceStore.FindGates(tx, message.Piece), message.Check, tx.Now.ToUnixMs());
            // Before the new forecast: it announces a later time of its own, and people are told who felt what.
            if (contradiction is not null) ForecastReminders.WithdrawReady(tx, message.Piece, contradiction);
            if (lesson is null) return;
            if (lessons.TrySave(tx, lesson)) LotNews.Apply(tx, lesson);
            else tx.Publish(message);
        });
    }

    /// <summary>Why a check contradicts what was announced, for a sentence to end with; null where it does not, or a later touch says otherwise.</summary>
    public static string? Contradiction(IReadOnlyList<CheckRecord> checks, PieceGates? gates, string check, long nowMs)
    {
        var felt = checks.Single(candidate => candidate.Name == check);
        if (felt.Touch is not (Check.Types.Touch.Tacky or Check.Types.Touch.Soft)) return null;
        var contradicts = new[] { Gate.Demold, Gate.Handle }
            .Any(gate => PieceReadinessRule.StateOf(gate, gates?[gate], checks, nowMs) == RungState.Contradicted);
        return contradicts ? $"{felt.Checker} found it {(felt.Touch == Check.Types.Touch.Tacky ? "tacky" : "soft")}" : null;
    }
}
