using Pourwright.Studio.Messaging;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>After a correction of its pours the piece is forecast at once; where none is left, what was announced of it is taken back.</summary>
public sealed class ForecastCorrection(Inbox inbox, PieceForecasts forecasts) : InboxConsumer<PieceCorrected>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(PieceCorrected message, CancellationToken ct)
    {
        var draft = forecasts.Draft(message.Piece, Cause.Correction);
        return Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            if (!PieceForecasts.TrySave(tx, draft)) tx.Publish(message);
            if (PieceStore.GetPours(tx, message.Piece).Count == 0)
                ForecastReminders.WithdrawAll(tx, message.Piece, "its pour was recorded by mistake");
        });
    }
}

/// <summary>After a correction of a mix all that was poured from it is forecast.</summary>
public sealed class ForecastCorrectedMix(Inbox inbox) : InboxConsumer<MixCorrected>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(MixCorrected message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            foreach (var piece in PieceStore.PiecesOf(tx, message.Mix)) tx.Publish(new PieceCorrected(piece));
        });
}
