using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;

namespace Pourwright.Studio.Forecasts;

/// <summary>What would happen: a question about layers in a room, answered by the engine that makes the forecasts.</summary>
public static class PredictCure
{
    private const int LayersMax = 8, RoomPointsMax = 2000;

    /// <summary>Checks the shape of a question.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(V1.PredictCureRequest request)
    {
        var isNamed = request.ResinSystem.Length > 0;
        var isClassed = request.CureClass is CureClass.DeepCasting or CureClass.FastCoating;
        var checks = new FieldChecks()
            .Require(isNamed != isClassed, "cure_class", "must be said where resin_system is not, and only there.", $"{request.CureClass}")
            .Require(request.Layers.Count is >= 1 and <= LayersMax, "layers", $"must be 1 to {LayersMax}.", $"{request.Layers.Count}")
            .Require(request.Room.Count is >= 1 and <= RoomPointsMax, "room", $"must be 1 to {RoomPointsMax}.", $"{request.Room.Count}");
        if (isNamed) checks.Name("resin_system", request.ResinSystem, ResourceKind.ResinSystem);
        if (request.HasBoardThicknessMm) checks.Within("board_thickness_mm", request.BoardThicknessMm, 0, 100, "mm");
        for (var i = 0; i < Math.Min(request.Layers.Count, LayersMax); i++) CheckLayer(checks, request, i);
        for (var i = 0; i < Math.Min(request.Room.Count, RoomPointsMax); i++) CheckRoomPoint(checks, request, i);
        checks.ThrowIfAny();
    }

    /// <summary>Answers a question of good shape with what is known of a resin.</summary>
    /// <exception cref="CureRangeException">An input lies outside the model's range.</exception>
    public static V1.CurePrediction Answer(V1.PredictCureRequest request, ResinKnowledge resin)
    {
        var piece = Case(request, resin.Calibration.Model);
        var draws = resin.Draws(piece);
        var ladder = LadderForecaster.Forecast(piece, draws);
        return new V1.CurePrediction
        {
            ModelRevision = ladder.ModelRevision,
            Gates = { Gates(ladder) },
            Peak = ladder.Peak.ToProto(),
            Cautions = { CureCautions.Of(ladder) },
            Course = { CureTerms.HourByHour(ladder).Select(CureTerms.ToProto) },
            NextLayer = Window(ladder.NextLayer),
            Advice = { PredictAdvice.Of(piece, draws, ladder) },
        };
    }

    /// <summary>The question to the engine: hours count from the first layer.</summary>
    public static PieceCase Case(V1.PredictCureRequest request, ResinCureModel resin) => new()
    {
        Layers = [.. request.Layers.Select(layer => new PouredLayer(Hours(layer.PourOffset), layer.DepthMm, layer.TemperatureCelsius, resin))],
        Ambient = [.. request.Room.Select(point => new AmbientPoint(Hours(point.Offset), point.TemperatureCelsius))],
        BoardThicknessMm = CureTerms.BoardMm(request.HasBoardThicknessMm ? request.BoardThicknessMm : DescribeSite.BoardThicknessMmDefault),
        WorkCelsius = CureTerms.WorkCelsius,
        HorizonHours = CureTerms.HorizonHours + Hours(request.Layers[^1].PourOffset),
    };

    private static void CheckLayer(FieldChecks checks, V1.PredictCureRequest request, int i)
    {
        var (layers, layer) = (request.Layers, request.Layers[i]);
        checks.Within($"layers[{i}].depth_mm", layer.DepthMm, 0.5, 200, "mm").Celsius($"layers[{i}].temperature_celsius", layer.TemperatureCelsius, 0, 60);
        if (i > 0) CheckOffset(checks, $"layers[{i}].pour_offset", layer.PourOffset, layers[i - 1].PourOffset);
        else checks.Require(Hours(layer.PourOffset) == 0, "layers[0].pour_offset", "must be nothing: time counts from the first layer.", $"{layer.PourOffset}");
    }

    private static void CheckRoomPoint(FieldChecks checks, V1.PredictCureRequest request, int i)
    {
        var room = request.Room;
        checks.Celsius($"room[{i}].temperature_celsius", room[i].TemperatureCelsius, -20, 60);
        if (i > 0) CheckOffset(checks, $"room[{i}].offset", room[i].Offset, room[i - 1].Offset);
    }

    private static void CheckOffset(FieldChecks checks, string path, Duration? offset, Duration? before) =>
        checks.Require(Hours(offset) > Hours(before), path, "must be later than the one before.", $"{offset}");

    private static IEnumerable<V1.GatePrediction> Gates(PieceLadder ladder)
    {
        var stalls = CureTerms.Stalls(ladder).ToDictionary(stall => stall.Gate, stall => stall.Why.ToProto());
        return CureTerms.Gates(ladder).Select(gate => new V1.GatePrediction
        {
            Gate = gate.Gate,
            Earliest = Offset(gate.Times.EarliestHours),
            Likely = Offset(gate.Times.LikelyHours),
            Safe = Offset(gate.Times.SafeHours),
            Stall = stalls.GetValueOrDefault(gate.Gate),
        });
    }

    private static V1.LayerWindowPrediction Window(LayerWindow window) => new()
    {
        OpensEarliest = Offset(window.Opens.EarliestHours),
        OpensLikely = Offset(window.Opens.LikelyHours),
        OpensSafe = Offset(window.Opens.SafeHours),
        ClosesEarliest = Offset(window.Closes.EarliestHours),
        ClosesLikely = Offset(window.Closes.LikelyHours),
        Best = Offset(window.BestAtHours),
        BestShareRatio = window.ShareAtBest,
    };

    private static Duration? Offset(double? hours) => hours is { } known ? CureTerms.Hours(known) : null;

    private static double Hours(Duration? offset) => offset is null ? 0 : (offset.Seconds + offset.Nanos / 1e9) / 3600;
}
