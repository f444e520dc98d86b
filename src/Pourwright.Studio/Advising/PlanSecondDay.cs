using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.WorkPlan;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;
using V1Cutter = Pourwright.V1.PlanSecondDayRequest.Types.Cutter;

namespace Pourwright.Studio.Advising;

/// <summary>What a second day is planned with.</summary>
public sealed record SecondDayFacts
{
    public required PieceRecord Piece { get; init; }

    /// <summary>The first pour, Unix ms; null where nothing is poured.</summary>
    public required long? FirstPourMs { get; init; }

    /// <summary>The newest pour or planing, Unix ms: what was measured before is no longer so thick.</summary>
    public required long ShapedMs { get; init; }

    /// <summary>In the order of their times.</summary>
    public required IReadOnlyList<CheckRecord> Checks { get; init; }

    /// <summary>For the planer and for the disc, when the work begins.</summary>
    public required V1.PieceReadiness.Types.Rung Handle { get; init; }

    public required V1.PieceReadiness.Types.Rung Sand { get; init; }
}

/// <summary>From a hard piece to one that can be handed over: planer, grits, coats.</summary>
public static class PlanSecondDay
{
    private const int ReadingsMax = 100, FacesMax = 24;

    /// <summary>Checks the shape of a question.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(V1.PlanSecondDayRequest request, long nowMs)
    {
        var checks = new FieldChecks()
            .Name("name", request.Name, ResourceKind.Piece)
            .Require(request.ThicknessMm.Count <= ReadingsMax, "thickness_mm", $"must be at most {ReadingsMax}.", $"{request.ThicknessMm.Count}")
            .Within("target_thickness_mm", request.TargetThicknessMm, 1, 300, "mm")
            .Within("length_mm", request.LengthMm, 1, 5000, "mm")
            .Within("width_mm", request.WidthMm, 1, 5000, "mm")
            .Require(request.Faces.Count <= FacesMax, "faces", $"must be at most {FacesMax}.", $"{request.Faces.Count}")
            .Require(CutterOf(request.Cutter) is not null, "cutter", "must be said.", $"{request.Cutter}")
            .YearAround("start_time", request.StartTime, nowMs);
        for (var i = 0; i < Math.Min(request.ThicknessMm.Count, ReadingsMax); i++)
            checks.Within($"thickness_mm[{i}]", request.ThicknessMm[i], 1, 400, "mm");
        for (var i = 0; i < Math.Min(request.Faces.Count, FacesMax); i++)
            checks.Within($"faces[{i}].length_mm", request.Faces[i].LengthMm, 1, 5000, "mm").Within($"faces[{i}].width_mm", request.Faces[i].WidthMm, 1, 5000, "mm");
        WorkHabits.CheckShape(checks, request.Settings ?? new());
        checks.ThrowIfAny();
    }

    /// <summary>Plans the day of a question of good shape.</summary>
    /// <exception cref="Refusal">PIECE_NOT_POURED, PIECE_HANDED_OVER, PIECE_SCRAPPED; FIELD_INVALID where nobody measured.</exception>
    /// <exception cref="CureRangeException">Too thin for its target, or too short for the planer.</exception>
    public static V1.SecondDayPlan Decide(V1.PlanSecondDayRequest request, SecondDayFacts facts, long startMs)
    {
        var firstPourMs = RequirePoured(facts.Piece, facts.FirstPourMs);
        var piece = Rough(request, Thickness(request, facts));
        var readiness = new WorkReadiness(
            Readiness(facts.Handle, firstPourMs), Readiness(facts.Sand, firstPourMs), AdvisingTerms.Hours(startMs, firstPourMs));
        var day = SecondDay.Plan(piece, readiness, WorkHabits.Of(request.Settings ?? new()));
        var plan = new V1.SecondDayPlan
        {
            Steps = { Steps(day, startMs) },
            Stop = day.Block is { } block ? SecondDayTexts.Stop(block.Gate == LadderGate.Handle ? facts.Handle : facts.Sand) : null,
            ThicknessMm = { piece.ThicknessMm },
            WorkDuration = Minutes(day.Minutes),
            WaitDuration = CureTerms.Hours(day.WaitHours),
            EndTime = Instants.ToTimestamp(startMs + (long)Math.Round(day.Minutes * 60_000 + day.WaitHours * 3_600_000)),
        };
        plan.Cautions.Add(SecondDayTexts.Cautions(day));
        return plan;
    }

    /// <summary>The first pour of a piece that is still in the house, Unix ms.</summary>
    /// <exception cref="Refusal">PIECE_NOT_POURED, PIECE_HANDED_OVER, PIECE_SCRAPPED.</exception>
    public static long RequirePoured(PieceRecord piece, long? firstPourMs)
    {
        PieceRefusals.RequireOpen(piece);
        return firstPourMs ?? throw Refusal.Precondition(Reasons.PieceNotPoured,
            $"Piece '{piece.Name}' has no pour yet: there is nothing to foretell. Record the pour first, or plan one.", ("piece", piece.Name));
    }

    private static double[] Thickness(V1.PlanSecondDayRequest request, SecondDayFacts facts)
    {
        if (request.ThicknessMm.Count > 0) return [.. request.ThicknessMm];
        double[] measured =
            [.. facts.Checks.Where(check => check.CheckMs >= facts.ShapedMs && check.ThicknessMm is not null).Select(check => check.ThicknessMm!.Value)];
        return measured.Length > 0 ? measured : throw Refusal.Invalid("thickness_mm", null,
            "must hold a reading: no check since its last pour or planing has one. Measure all over, the thickest and the thinnest place above all.");
    }

    private static RoughPiece Rough(V1.PlanSecondDayRequest request, double[] thicknessMm)
    {
        SandedFace face = new(request.LengthMm, request.WidthMm);
        SandedFace[] faces = request.Faces.Count > 0
            ? [.. request.Faces.Select(f => new SandedFace(f.LengthMm, f.WidthMm, f.EndGrain))]
            : [face, face];
        return new(thicknessMm, request.TargetThicknessMm, request.LengthMm, faces, CutterOf(request.Cutter)!.Value);
    }

    // READY at the start of the work: the safe time is past by then, and the newest touch that speaks of the gate was firm.
    private static GateReadiness Readiness(V1.PieceReadiness.Types.Rung rung, long firstPourMs) => new(
        rung.Forecast?.SafeTime.ToUnixMsOrNull() is { } safeMs ? AdvisingTerms.Hours(safeMs, firstPourMs) : null,
        rung.State == RungState.Ready);

    private static IEnumerable<V1.WorkStep> Steps(WorkDay day, long startMs)
    {
        foreach (var step in day.Steps)
        {
            var minutes = step is Wait { Hours: var hours } ? 60 * hours : step.Minutes;
            var told = SecondDayTexts.ToProto(step);
            (told.StartTime, told.Duration) = (Instants.ToTimestamp(startMs), Minutes(minutes));
            yield return told;
            startMs += (long)Math.Round(60_000 * minutes);
        }
    }

    private static Duration Minutes(double minutes) => CureTerms.Hours(minutes / 60);

    private static Cutter? CutterOf(V1Cutter cutter) => cutter switch
    {
        V1Cutter.HelicalHead => Cutter.HelicalHead,
        V1Cutter.StraightKnives => Cutter.StraightKnives,
        V1Cutter.RouterSled => Cutter.RouterSled,
        _ => null,
    };
}
