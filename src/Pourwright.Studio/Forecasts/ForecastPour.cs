using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts;

/// <summary>After a pour the piece is forecast at once.</summary>
public sealed class ForecastPour(Inbox inbox, PieceForecasts forecasts) : InboxConsumer<PourRecorded>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(PourRecorded message, CancellationToken ct)
    {
        var draft = forecasts.Draft(message.Piece, Cause.Pour);
        return Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            // Computing again would hold up the writer: a message to oneself does it outside, and is not lost.
            if (!PieceForecasts.TrySave(tx, draft)) tx.Publish(message);
        });
    }
}
