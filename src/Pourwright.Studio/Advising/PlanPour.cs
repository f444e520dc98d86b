using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;

namespace Pourwright.Studio.Advising;

/// <summary>What a pour is planned with.</summary>
public sealed record PourPlanFacts
{
    /// <summary>Its cure model, and what is known and open of it.</summary>
    public required ResinKnowledge Resin { get; init; }

    public ResinCureModel Model => Resin.Calibration.Model;

    /// <summary>The room from the first pour on.</summary>
    public required RoomCourse Room { get; init; }

    /// <summary>Under the mould, in mm.</summary>
    public required double BoardThicknessMm { get; init; }

    /// <summary>Unix ms.</summary>
    public required long FirstPourMs { get; init; }

    /// <summary>Deepest pour of the data sheet, in mm; null where it says nothing.</summary>
    public double? MaxDepthMm { get; init; }

    /// <summary>Largest batch of the data sheet, in mg; null where it says nothing.</summary>
    public long? MaxBatchMassMg { get; init; }

    /// <summary>Coldest room of the data sheet, in °C; null where no resin system is named.</summary>
    public double? MinCureCelsius { get; init; }
}

/// <summary>How deep, how much and when, before anybody mixes.</summary>
public static class PlanPour
{
    /// <summary>As far as the engine goes in one pour, in mm.</summary>
    private const double OnePourMostMm = 150;

    /// <summary>Checks the shape of a question.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(V1.PlanPourRequest request, long nowMs)
    {
        var isNamed = request.ResinSystem.Length > 0;
        var isClassed = request.CureClass is CureClass.DeepCasting or CureClass.FastCoating;
        var hasBench = request.Bench.Length > 0;
        var studio = isNamed && ResourceKind.ResinSystem.Matches(request.ResinSystem) ? ResourceNames.StudioOf(request.ResinSystem) : null;
        var checks = new FieldChecks()
            .Require(isNamed != isClassed, "cure_class", "must be said where resin_system is not, and only there.", $"{request.CureClass}")
            .Require(hasBench != request.HasRoomTemperatureCelsius, "room_temperature_celsius", "must be said where bench is not, and only there.")
            .Celsius("resin_temperature_celsius", request.ResinTemperatureCelsius, 5)
            .Within("total_depth_mm", request.TotalDepthMm, 1, 600, "mm")
            .YearAround("first_pour_time", request.FirstPourTime, nowMs);
        if (isNamed) checks.Name("resin_system", request.ResinSystem, ResourceKind.ResinSystem);
        if (hasBench) checks.Name("bench", request.Bench, ResourceKind.Bench, studio);
        if (request.HasRoomTemperatureCelsius) checks.Celsius("room_temperature_celsius", request.RoomTemperatureCelsius, -10, 50);
        if (request.HasBoardThicknessMm) checks.Within("board_thickness_mm", request.BoardThicknessMm, 0, 100, "mm");
        if (request.HasChannelWidthMm) checks.Within("channel_width_mm", request.ChannelWidthMm, 5, 5000, "mm");
        CheckBatch(checks, request);
        checks.ThrowIfAny();
        CheckTime(request.FirstPourTime, nowMs);
    }

    /// <summary>The first pour, Unix ms.</summary>
    public static long FirstPourMs(V1.PlanPourRequest request, long nowMs) => Math.Max(nowMs, request.FirstPourTime.ToUnixMsOrNull() ?? nowMs);

    /// <summary>Answers a question of good shape. Up to a second or two of one core: not for the writer's thread.</summary>
    /// <exception cref="CureRangeException">An input lies outside the model's range.</exception>
    public static V1.PourPlan Decide(V1.PlanPourRequest request, PourPlanFacts facts, CancellationToken stop)
    {
        var piece = Case(request, facts);
        var draws = facts.Resin.Draws(piece).Thinned(AdvisingTerms.DrawsOfSearch);
        var limits = new PourLimits { DepthMm = facts.MaxDepthMm ?? double.PositiveInfinity };
        var answer = new V1.PourPlan
        {
            ModelRevision = facts.Model.Revision,
            FirstPourTime = Instants.ToTimestamp(facts.FirstPourMs),
            RoomAssumption = facts.Room.Assumption,
            RoomTemperatureCelsius = facts.Room.CelsiusAt(0),
            OnePourPeak = request.TotalDepthMm <= OnePourMostMm ? LadderForecaster.Forecast(piece, draws).Peak.ToProto() : null,
        };
        if (facts.MaxDepthMm is { } sheet) answer.MaxDepthMm = sheet;
        stop.ThrowIfCancellationRequested();
        var deepest = DeepestLayer.Of(piece, draws, limits);
        (answer.DeepestLayerMm, answer.DepthBound, answer.DeepestLayerPeak) = (deepest.DepthMm, deepest.BoundBy.ToProto(), deepest.Peak.ToProto());
        PlanBatch(answer, request, facts);
        stop.ThrowIfCancellationRequested();
        PlanLayers(answer, request, facts, new(piece, draws, limits), deepest);
        answer.Cautions.Add(PourPlanTexts.Cautions(answer, request, facts));
        return answer;
    }

    private static PieceCase Case(V1.PlanPourRequest request, PourPlanFacts facts) => new()
    {
        Layers = [new(0, Math.Min(request.TotalDepthMm, OnePourMostMm), request.ResinTemperatureCelsius, facts.Model)],
        Ambient = facts.Room.Ambient,
        BoardThicknessMm = CureTerms.BoardMm(facts.BoardThicknessMm),
        WorkCelsius = CureTerms.WorkCelsius,
        ChannelWidthMm = request.HasChannelWidthMm ? request.ChannelWidthMm : null,
    };

    private static void PlanBatch(V1.PourPlan answer, V1.PlanPourRequest request, PourPlanFacts facts)
    {
        if (request.Vessel is null) return;
        var vessel = new MixVessel(request.Vessel.DiameterMm, request.Vessel.HeightMm);
        var fullMg = (long)(vessel.CubicMetres * facts.Model.DensityKgPerM3 * 1e6);
        WorkingTime Time(long massMg) => BatchHeat.Of(
            facts.Model, massMg, vessel, request.ResinTemperatureCelsius, facts.Room.CelsiusAt(0));
        var plannedMg = request.HasBatchMassMg ? request.BatchMassMg : fullMg;
        answer.PlannedBatch = Batch(plannedMg, Time(plannedMg));
        if (request.WorkingDuration is null) return;
        var largest = BatchHeat.Largest(
            facts.Model, vessel, request.ResinTemperatureCelsius, facts.Room.CelsiusAt(0), request.WorkingDuration.Hours());
        var isCapped = facts.MaxBatchMassMg < largest.MassMg;
        var mostMg = isCapped ? facts.MaxBatchMassMg!.Value : largest.MassMg;
        answer.LargestBatch = Batch(mostMg, isCapped ? Time(mostMg) : largest.Time);
        answer.BatchBound = isCapped ? V1.PourPlan.Types.BatchBound.DataSheet : largest.BoundBy.ToProto();
    }

    private static V1.BatchTime Batch(long massMg, WorkingTime time) =>
        new() { MassMg = massMg, WorkingDuration = CureTerms.Hours(time.Hours), EndTemperatureCelsius = time.EndCelsius };

    private static void PlanLayers(V1.PourPlan answer, V1.PlanPourRequest request, PourPlanFacts facts, Asked asked, DepthLimit deepest)
    {
        var plan = LayerPlanner.Plan(asked.Piece, request.TotalDepthMm, asked.Draws, asked.Limits, deepest);
        if (plan is not Layers { Pours: var pours })
        {
            answer.Obstacle = plan is NoWindow ? V1.PourPlan.Types.Obstacle.NoWindow : V1.PourPlan.Types.Obstacle.TooHot;
            answer.ObstacleText = PourPlanTexts.WayOut(plan, request.TotalDepthMm, deepest);
            return;
        }
        answer.Layers.Add(pours.Select((pour, i) => Layer(pour, i + 1, facts.FirstPourMs)));
        answer.Gates.Add(AdvisingTerms.Gates(Ladder(asked, pours), facts.FirstPourMs));
    }

    private static PieceLadder Ladder(Asked asked, IReadOnlyList<PlannedPour> pours) => LadderForecaster.Forecast(
        asked.Piece with
        {
            Layers = [.. pours.Select(pour => asked.Piece.Layers[0] with { AtHours = pour.AtHours, DepthMm = pour.DepthMm })],
            HorizonHours = CureTerms.HorizonHours + pours[^1].AtHours,
        },
        asked.Draws);

    private static V1.PlannedLayer Layer(PlannedPour pour, int number, long firstPourMs) => new()
    {
        LayerCount = number,
        PourTime = AdvisingTerms.At(pour.AtHours, firstPourMs),
        DepthMm = pour.DepthMm,
        Window = pour.Window?.ToProto(firstPourMs),
        Peak = pour.Peak.ToProto(),
    };

    private static void CheckBatch(FieldChecks checks, V1.PlanPourRequest request)
    {
        var vessel = request.Vessel;
        if (vessel is not null)
            checks.Within("vessel.diameter_mm", vessel.DiameterMm, 30, 800, "mm").Within("vessel.height_mm", vessel.HeightMm, 20, 800, "mm");
        if (request.HasBatchMassMg)
            checks.Mass("batch_mass_mg", request.BatchMassMg, 1000).Require(vessel is not null, "batch_mass_mg", "needs a vessel.");
        if (request.WorkingDuration is { } wanted)
            checks.Within("working_duration", wanted.Hours(), 0.02, 48, "h").Require(vessel is not null, "working_duration", "needs a vessel.");
    }

    private static void CheckTime(Timestamp? told, long nowMs)
    {
        if (told.ToUnixMsOrNull() is not { } firstMs) return;
        new FieldChecks().Require(
            firstMs >= nowMs - EventTime.ClockAllowance.TotalMilliseconds, "first_pour_time", "must lie ahead; leave it out for now.",
            Instants.Utc(firstMs)).ThrowIfAny();
    }

    /// <summary>A room held at one temperature, as stated.</summary>
    public static RoomCourse Held(double celsius) => new(
        [new AmbientPoint(0, celsius)], $"Held at {AdvisingTerms.Tenth(celsius)} °C throughout, as stated.", null, 0, []);

    /// <summary>The board under the mould, in mm: as stated, else the bench's, else the usual one.</summary>
    public static double BoardMm(V1.PlanPourRequest request, BenchRecord? bench) => request.HasBoardThicknessMm
        ? request.BoardThicknessMm
        : bench?.BoardThicknessMm ?? DescribeSite.BoardThicknessMmDefault;

    /// <summary>What the engine is asked with.</summary>
    private sealed record Asked(PieceCase Piece, PieceDraws Draws, PourLimits Limits);
}
