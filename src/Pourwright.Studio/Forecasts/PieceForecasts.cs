using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Forecasts;

/// <summary>A forecast that is computed and not yet saved, with what it was computed from. Without a record there is nothing new to save.</summary>
public sealed record ForecastDraft(string Piece, ForecastRecord? Forecast, int LatestRevision, int PourCount, string? Bench)
{
    /// <summary>There is nothing to forecast.</summary>
    public static ForecastDraft None(string piece) => new(piece, null, 0, 0, null);
}

/// <summary>Makes forecasts beside the writer and saves them in it.</summary>
public sealed class PieceForecasts(StudioReads reads, StudioWriter writer, ResinModels models, TimeProvider clock)
{
    /// <summary>Drafts that grow stale in a row before the piece is left to the next round. Common practice, no source.</summary>
    private const int AttemptsMax = 5;

    /// <summary>Loads and computes; takes tens of milliseconds of one core.</summary>
    public ForecastDraft Draft(string piece, Cause cause)
    {
        var now = clock.GetUtcNow();
        return reads.Read(session => ForecastFactsStore.Load(session, piece, now, models)) is { } facts
            ? Draft(facts, cause, now.ToUnixMs())
            : ForecastDraft.None(piece);
    }

    /// <summary>Computes from what was loaded.</summary>
    public static ForecastDraft Draft(ForecastFacts facts, Cause cause, long nowMs) => ForecastPiece.IsDue(facts, cause, nowMs)
        ? new(facts.Piece.Name, ForecastPiece.Decide(facts, cause, nowMs), facts.Latest?.Revision ?? 0, facts.Pours.Count, facts.Piece.Bench)
        : ForecastDraft.None(facts.Piece.Name);

    /// <summary>Saves a draft with the reminders that follow from it; false where the piece has moved on since, so that it must be made again.</summary>
    public static bool TrySave(StudioTransaction tx, ForecastDraft draft)
    {
        if (draft.Forecast is not { } forecast) return true;
        var piece = PieceStore.GetPiece(tx, draft.Piece);
        if (!ForecastPiece.IsCuring(piece.State)) return true;
        if (IsStale(tx, piece, draft)) return false;
        ForecastStore.Insert(tx, forecast);
        ForecastReminders.Apply(tx, News(piece, forecast));
        return true;
    }

    /// <summary>Tells what the forecast that stands says of a piece whose session is another one now; its advice was made for the one before.</summary>
    public static void TellOfSession(StudioTransaction tx, string name)
    {
        var piece = PieceStore.GetPiece(tx, name);
        if (ForecastPiece.IsCuring(piece.State) && ForecastStore.StandingGates(tx, name) is { } forecast)
            ForecastReminders.Apply(tx, News(piece, forecast) with { Advice = "" });
    }

    /// <summary>Makes and saves a forecast, again while the piece moves on; false where it would not hold still.</summary>
    public async Task<bool> ForecastAsync(string piece, Cause cause, CancellationToken ct)
    {
        for (var attempt = 0; attempt < AttemptsMax; attempt++)
        {
            var draft = Draft(piece, cause);
            if (draft.Forecast is null || await writer.WriteAsync(tx => TrySave(tx, draft), ct)) return true;
        }
        return false;
    }

    private static bool IsStale(StudioTransaction tx, PieceRecord piece, ForecastDraft draft) =>
        piece.Bench != draft.Bench
        || ForecastStore.LatestRevision(tx, piece.Name) != draft.LatestRevision
        || PieceStore.GetPours(tx, piece.Name).Count != draft.PourCount;

    private static ForecastNews News(PieceRecord piece, ForecastRecord forecast) => new(
        piece.Studio, piece.Site, piece.Name, piece.Label, piece.PlannedSessionMs,
        forecast.DemoldSafeMs, forecast.HandleSafeMs, forecast.IsRunaway, forecast.PeakHighCelsius,
        MessageListJson.Read<V1.Advice>(forecast.Advice) is [var first, ..] ? first.Text : "",
        forecast.IsComputed ? "" : ForecastPiece.WhyNone(forecast));
}
