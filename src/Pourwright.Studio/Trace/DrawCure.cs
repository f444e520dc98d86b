using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;

namespace Pourwright.Studio.Trace;

/// <summary>Says what stands in the picture of a piece's cure.</summary>
public static class DrawCure
{
    /// <summary>The picture; without a forecast, of what is recorded.</summary>
    /// <exception cref="Refusal">PIECE_NOT_POURED.</exception>
    public static CurePicture Decide(PieceFacts facts) => CureCourse.Of(facts) is { } course
        ? new CurePicture($"Piece {facts.Piece.Label} · {ResourceNames.IdOf(facts.Piece.Name)}", Source(facts), course)
        : throw Refusal.Precondition(Reasons.PieceNotPoured,
            $"Nothing was poured into piece '{facts.Piece.Name}' by the record: there is no cure to draw. Record its pour first.",
            ("piece", facts.Piece.Name));

    private static string Source(PieceFacts facts) => facts.LastForecast is not { } forecast
        ? $"No forecast yet: only what is recorded. Times in {facts.Zone.Id}."
        : string.Join(" ", new[] { Made(forecast, facts.Zone), Behind(facts), $"Times in {facts.Zone.Id}." }.Where(sentence => sentence.Length > 0));

    private static string Made(Forecast forecast, TimeZoneInfo zone) =>
        $"Forecast {ResourceNames.IdOf(forecast.Name)} of {Local(forecast.ForecastTime, zone)}, "
        + (forecast.ModelRevision.Length > 0 ? $"model {forecast.ModelRevision}." : "which the model could not make.");

    private static string Behind(PieceFacts facts) => facts.ForecastStands ? "" : "It does not know the newest pour yet.";
}
