using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>What a person saw. A piece may be looked at for ever: a dent that shows months after hand-over is evidence too.</summary>
public static class RecordCheck
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once; also where nothing is observed.</exception>
    public static void CheckShape(RecordCheckRequest request)
    {
        var check = request.Check ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Piece)
            .NewId("check_id", request.CheckId)
            .Text("check.checker", check.Checker, 80)
            .Require(check.Touch is >= Check.Types.Touch.Unspecified and <= Check.Types.Touch.Firm, "check.touch",
                "must be tacky, soft or firm.", $"{(int)check.Touch}")
            .Require(!(check.HasShoreD && check.ShoreDBelowScale), "check.shore_d",
                "cannot be read and be below the scale at once. Send one of the two.")
            .Text("check.note", check.Note, 500, 0)
            .OptionalTime("check.check_time", check.CheckTime)
            .Require(Observes(check), "check",
                "must observe something: touch, Shore D, a surface temperature or a thickness. What is wrong with a piece is reported as a defect.");
        if (check.HasShoreD) checks.Within("check.shore_d", check.ShoreD, 0, 100, "Shore D");
        if (check.HasSurfaceTemperatureCelsius) checks.Celsius("check.surface_temperature_celsius", check.SurfaceTemperatureCelsius, -20, 250);
        if (check.HasThicknessMm) checks.Within("check.thickness_mm", check.ThicknessMm, 0, 500, "mm");
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">TIME_IN_FUTURE.</exception>
    /// <param name="name">Of the check.</param>
    /// <param name="piece">Of its piece.</param>
    /// <param name="check">As it came.</param>
    /// <param name="gates">The forecast that stands; null while there is none.</param>
    /// <param name="nowMs">Unix ms.</param>
    public static CheckRecord Decide(string name, string piece, Check check, PieceGates? gates, long nowMs)
    {
        var checkMs = EventTime.OrNow(check.CheckTime, nowMs, "check.check_time");
        return Record(name, piece, check, checkMs, nowMs) with { Confirms = Confirmed(check.Touch, gates, checkMs) };
    }

    private static int Confirmed(Check.Types.Touch touch, PieceGates? gates, long checkMs) => PieceReadinessRule.Rungs
        .Where(gate => gates?[gate].SafeMs <= checkMs && PieceReadinessRule.SaysYes(touch, gate))
        .Sum(gate => 1 << (int)gate);

    private static CheckRecord Record(string name, string piece, Check check, long checkMs, long nowMs) => new()
    {
        Name = name,
        Piece = piece,
        CheckMs = checkMs,
        Checker = check.Checker,
        Touch = check.Touch,
        ShoreD = check.HasShoreD ? check.ShoreD : null,
        ShoreDBelowScale = check.ShoreDBelowScale,
        SurfaceTemperatureCelsius = check.HasSurfaceTemperatureCelsius ? check.SurfaceTemperatureCelsius : null,
        ThicknessMm = check.HasThicknessMm ? check.ThicknessMm : null,
        Note = check.Note,
        RecordMs = nowMs,
    };

    private static bool Observes(Check check) =>
        check.Touch != Check.Types.Touch.Unspecified || check.HasShoreD || check.ShoreDBelowScale
        || check.HasSurfaceTemperatureCelsius || check.HasThicknessMm;
}
