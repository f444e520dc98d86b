using Google.Protobuf.WellKnownTypes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts;

/// <summary>How ready a piece is: its newest forecast and what people felt, gate by gate.</summary>
public static class Readiness
{
    /// <summary>The readiness of a piece at an instant. A fresh layer over a ready one is curing, also before its own forecast is made.</summary>
    public static PieceReadiness Of(StudioSession session, PieceRecord piece, DateTimeOffset now) => Describe(
        piece, ForecastStore.StandingGates(session, piece.Name), PieceStore.GetChecks(session, piece.Name), now);

    /// <summary>The readiness that follows from a forecast, null while there is none, and the checks of a piece.</summary>
    public static PieceReadiness Describe(PieceRecord piece, ForecastRecord? forecast, IReadOnlyList<CheckRecord> checks, DateTimeOffset now)
    {
        CheckRecord[] soFar = [.. checks.Where(check => check.CheckMs <= now.ToUnixMs())];
        var gates = forecast is { IsComputed: true } ? forecast.Gates() : null;
        return new PieceReadiness
        {
            Piece = piece.Name,
            Label = piece.Label,
            Bench = piece.Bench ?? "",
            Rungs = { PieceReadinessRule.Rungs.Select(Rung) },
            Forecast = forecast?.Name ?? "",
            Reason = forecast?.Reason ?? "",
            ReasonStatements = { MessageListJson.Read<Statement>(forecast?.Statements ?? "[]") },
            Advice = { MessageListJson.Read<Advice>(forecast?.Advice ?? "[]") },
            Peak = forecast is { IsComputed: true } ? forecast.Peak() : null,
            NextLayer = forecast is not null && piece.State == Piece.Types.State.Curing ? LadderJson.Read(forecast.Ladder).Window() : null,
            ReadinessTime = Timestamp.FromDateTimeOffset(now),
            Held = piece.IsHeld,
            HoldReason = piece.HoldReason ?? "",
        };

        PieceReadiness.Types.Rung Rung(Gate gate)
        {
            var times = gates?.Single(g => g.Gate == gate);
            var window = times is null ? null : new GateWindow(times.EarliestTime.ToUnixMsOrNull(), times.SafeTime.ToUnixMsOrNull());
            return new() { Gate = gate, State = PieceReadinessRule.StateOf(gate, window, soFar, now.ToUnixMs()), Forecast = times };
        }
    }

    /// <summary>Does it tell a person the same, whenever it was said?</summary>
    public static bool IsSame(PieceReadiness a, PieceReadiness b)
    {
        var other = b.Clone();
        other.ReadinessTime = a.ReadinessTime;
        return a.Equals(other);
    }
}
