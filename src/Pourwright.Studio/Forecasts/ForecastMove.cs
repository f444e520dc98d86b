using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>After a move the piece is in another room: it is forecast at once.</summary>
public sealed class ForecastMove(Inbox inbox, PieceForecasts forecasts) : InboxConsumer<PieceMoved>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(PieceMoved message, CancellationToken ct)
    {
        var draft = forecasts.Draft(message.Piece, Cause.Move);
        return Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            if (!PieceForecasts.TrySave(tx, draft)) tx.Publish(message);
        });
    }
}
