using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using StepKind = Pourwright.V1.Step.Types.Kind;

namespace Pourwright.Studio.Advising;

/// <summary>Gathers what advice rests on; nothing is ever written here.</summary>
internal static class AdvisingStore
{
    /// <summary>How far a room is foretold beyond the first pour, in ms: eight layers and their cure. Thirty days.</summary>
    private const long RoomMs = 30L * 24 * 3_600_000;

    /// <summary>What a pour is planned with.</summary>
    public static PourPlanFacts LoadPour(StudioSession session, V1.PlanPourRequest request, ResinModels models, DateTimeOffset now)
    {
        var firstMs = PlanPour.FirstPourMs(request, now.ToUnixMs());
        var system = request.ResinSystem.Length > 0 ? ResinStore.GetResinSystem(session, request.ResinSystem) : null;
        var bench = request.Bench.Length > 0 ? SiteStore.GetBench(session, request.Bench) : null;
        return new()
        {
            Resin = system is null ? ResinKnowledge.Of(models.Of(request.CureClass)) : ResinKnowledge.Load(session, system, models),
            Room = bench is null
                ? PlanPour.Held(request.RoomTemperatureCelsius)
                : RoomForecast.Course([ForecastFactsStore.Stay(session, (bench.Name, firstMs), null, now)], now.ToUnixMs(), firstMs + RoomMs),
            BoardThicknessMm = PlanPour.BoardMm(request, bench),
            FirstPourMs = firstMs,
            MaxDepthMm = system?.MaxDepthMm,
            MaxBatchMassMg = system?.MaxBatchMassMg,
            MinCureCelsius = system?.MinCureTemperatureCelsius,
        };
    }

    /// <summary>What a change is asked of.</summary>
    public static WhatIfFacts LoadWhatIf(StudioSession session, V1.AskWhatIfRequest request, ResinModels models, DateTimeOffset now)
    {
        var other = request.OtherResin is { } change ? ResinStore.GetResinSystem(session, change.ResinSystem) : null;
        var facts = request.HasPiece ? OfPiece(session, request.Piece, models, now) : OfPour(session, request, models, now);
        return other is null ? facts : facts with { Other = (models.Of(other).Model, other.DisplayName) };
    }

    /// <summary>What a second day is planned with.</summary>
    public static SecondDayFacts LoadSecondDay(StudioSession session, string name, DateTimeOffset start)
    {
        var piece = PieceStore.GetPiece(session, name);
        var (pours, steps) = (PieceStore.GetPours(session, name), PieceStore.GetSteps(session, name));
        var readiness = Readiness.Of(session, piece, start);
        return new()
        {
            Piece = piece,
            FirstPourMs = pours.Count > 0 ? pours[0].PourMs : null,
            ShapedMs = steps.Where(step => step.Kind == StepKind.Plane).Select(step => step.StepMs)
                .Concat(pours.Select(pour => pour.PourMs)).DefaultIfEmpty(0).Max(),
            Checks = PieceStore.GetChecks(session, name),
            Handle = readiness.Rungs.Single(rung => rung.Gate == V1.Gate.Handle),
            Sand = readiness.Rungs.Single(rung => rung.Gate == V1.Gate.Sand),
        };
    }

    private static WhatIfFacts OfPiece(StudioSession session, string name, ResinModels models, DateTimeOffset now)
    {
        var piece = PieceStore.GetPiece(session, name);
        var facts = ForecastFactsStore.Load(session, name, now, models);
        var firstMs = PlanSecondDay.RequirePoured(piece, facts?.Pours[0].Pour.PourMs);
        var room = ForecastPiece.Room(facts!, now.ToUnixMs());
        var poured = ForecastPiece.Case(facts!, room);
        return new()
        {
            Case = poured,
            Draws = ForecastDraws.Of(facts!, poured),
            FirstPourMs = firstMs,
            Piece = piece,
            Zone = SiteStore.GetSite(session, piece.Site).Zone,
            RoomAssumption = room.Assumption,
            RoomCautions = room.Cautions,
        };
    }

    private static WhatIfFacts OfPour(StudioSession session, V1.AskWhatIfRequest request, ResinModels models, DateTimeOffset now)
    {
        var resin = request.Pour.ResinSystem.Length > 0
            ? ResinKnowledge.Load(session, ResinStore.GetResinSystem(session, request.Pour.ResinSystem), models)
            : ResinKnowledge.Of(models.Of(request.Pour.CureClass));
        var pour = PredictCure.Case(request.Pour, resin.Calibration.Model);
        return new()
        {
            Case = pour,
            Draws = resin.Draws(pour),
            FirstPourMs = request.FirstPourTime.ToUnixMsOrNull() ?? now.ToUnixMs(),
            Zone = request.Site.Length > 0 ? SiteStore.GetSite(session, request.Site).Zone : TimeZoneInfo.Utc,
        };
    }
}
