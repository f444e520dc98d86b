using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Studio.Forecasts;

/// <summary>After a check: a tacky or soft piece takes back what was announced of it. It makes no new forecast yet.</summary>
public sealed class ReviewCheck(Inbox inbox) : InboxConsumer<CheckRecorded>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(CheckRecorded message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            var checks = PieceStore.GetChecks(tx, message.Piece);
            if (Contradiction(checks, PieceStore.FindGates(tx, message.Piece), message.Check, tx.Now.ToUnixMs()) is { } reason)
                ForecastReminders.WithdrawReady(tx, message.Piece, reason);
        });

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
