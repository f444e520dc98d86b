using Pourwright.Cure;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using ChangeCase = Pourwright.V1.AskWhatIfRequest.ChangeOneofCase;
using SubjectCase = Pourwright.V1.AskWhatIfRequest.SubjectOneofCase;

namespace Pourwright.Studio.Advising;

/// <summary>What a change is asked of.</summary>
public sealed record WhatIfFacts
{
    /// <summary>As it was poured, or is thought to be, in the room as it is expected.</summary>
    public required PieceCase Case { get; init; }

    /// <summary>What stands for all that it may be.</summary>
    public required PieceDraws Draws { get; init; }

    /// <summary>Unix ms.</summary>
    public required long FirstPourMs { get; init; }

    /// <summary>The poured piece; null for a pour that is only thought of.</summary>
    public PieceRecord? Piece { get; init; }

    /// <summary>Whose clock the sentence speaks of.</summary>
    public required TimeZoneInfo Zone { get; init; }

    /// <summary>The other resin that is asked for, and what people call it.</summary>
    public (ResinCureModel Model, string DisplayName)? Other { get; init; }

    public string RoomAssumption { get; init; } = "";

    public IReadOnlyList<V1.Caution> RoomCautions { get; init; } = [];
}

/// <summary>What a change would do: before, after, and whether it is advised.</summary>
public static class AskWhatIf
{
    /// <summary>An hour to get there, and six minutes for the engine to hold it.</summary>
    private const long HoldLeastMs = 66 * 60_000;

    /// <summary>Where all draws ask for more warmth than a few did: by so much at a time, in K.</summary>
    private const double WarmerKelvin = 0.5;

    private static readonly TimeSpan MoveMost = TimeSpan.FromDays(60);

    /// <summary>Checks the shape of a question.</summary>
    /// <exception cref="Refusal">FIELD_INVALID with every violation.</exception>
    public static void CheckShape(V1.AskWhatIfRequest request, long nowMs)
    {
        var ofPiece = request.SubjectCase == SubjectCase.Piece;
        var checks = new FieldChecks()
            .Require(request.SubjectCase != SubjectCase.None, "piece", "must be named, or a pour be given.")
            .Require(request.ChangeCase != ChangeCase.None, "hold_room", "or another change must be asked for.")
            .Require(ofPiece || request.SessionTime is not null, "session_time", "must be set for a pour that is only thought of.")
            .Require(!ofPiece || (request.FirstPourTime is null && request.Site.Length == 0), "first_pour_time", "and site are for a pour that is only thought of.")
            .Require(AdvisingTerms.RungOf(GateOf(request)) is not null, "gate", "must be a gate that a piece reaches by curing.", $"{request.Gate}")
            .YearAround("first_pour_time", request.FirstPourTime, nowMs)
            .YearAround("session_time", request.SessionTime, nowMs);
        if (ofPiece) checks.Name("piece", request.Piece, ResourceKind.Piece);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site);
        CheckChange(checks, request, nowMs);
        checks.ThrowIfAny();
        if (request.Pour is not null) CheckPour(request.Pour);
    }

    /// <summary>Answers a question of good shape. Up to a second or two of one core: not for the writer's thread.</summary>
    /// <exception cref="Refusal">PIECE_POURED; FIELD_INVALID for a time that does not fit the piece.</exception>
    /// <exception cref="CureRangeException">An input lies outside the model's range.</exception>
    public static V1.WhatIfAnswer Decide(V1.AskWhatIfRequest request, WhatIfFacts facts, long nowMs)
    {
        RequireChangeable(request, facts);
        var question = new Question(facts.Case, AdvisingTerms.Hours(SessionMs(request, facts), facts.FirstPourMs), AdvisingTerms.RungOf(GateOf(request))!.Value);
        var answer = request.ChangeCase == ChangeCase.SmallestWarming
            ? Warmed(question, request.SmallestWarming, facts, nowMs)
            : new WhatIf(facts.Draws).Ask(question, Asked(request, facts, nowMs));
        return WhatIfWords.Answer(answer, question, facts, GateOf(request));
    }

    /// <summary>The gate that the session needs.</summary>
    public static V1.Gate GateOf(V1.AskWhatIfRequest request) => request.Gate == V1.Gate.Unspecified ? V1.Gate.Handle : request.Gate;

    private static Change Asked(V1.AskWhatIfRequest request, WhatIfFacts facts, long nowMs) => request.ChangeCase switch
    {
        ChangeCase.HoldRoom => Hold(request.HoldRoom, facts, nowMs),
        ChangeCase.MoveSession => new MoveSession(request.MoveSession.By.Hours() / 24),
        ChangeCase.SplitPour => new SplitPour(request.SplitPour.LayerCount),
        _ => new OtherResin(facts.Other!.Value.Model),
    };

    private static HoldRoom Hold(V1.AskWhatIfRequest.Types.HoldRoom hold, WhatIfFacts facts, long nowMs)
    {
        var fromMs = From("hold_room.from_time", hold.FromTime.ToUnixMsOrNull(), facts, nowMs);
        var untilMs = hold.UntilTime.ToUnixMsOrNull();
        new FieldChecks().Require(
            untilMs is null || untilMs > fromMs + HoldLeastMs, "hold_room.until_time",
            "must lie more than 66 minutes after the start: the room takes an hour to get there.", untilMs is { } ms ? Instants.Utc(ms) : null).ThrowIfAny();
        return new(
            hold.TemperatureCelsius, AdvisingTerms.Hours(fromMs, facts.FirstPourMs),
            untilMs is { } until ? AdvisingTerms.Hours(until, facts.FirstPourMs) : double.PositiveInfinity);
    }

    // Sought with few draws, judged with all: what stands as "before" is then the forecast that people know.
    private static Answer Warmed(Question question, V1.AskWhatIfRequest.Types.SmallestWarming warming, WhatIfFacts facts, long nowMs)
    {
        var (search, whole) = (new WhatIf(facts.Draws.Thinned(AdvisingTerms.DrawsOfSearch)), new WhatIf(facts.Draws));
        var fromHours = WarmFrom(warming, facts, search, nowMs);
        var found = search.SmallestWarming(question, fromHours);
        if (facts.Draws.Draws.Count <= AdvisingTerms.DrawsOfSearch) return found;
        if (found.Change is not HoldRoom hold) return whole.SmallestWarming(question, fromHours);
        var answer = whole.Ask(question, hold);
        while (found is Possible && !answer.After.IsSafe && hold.Celsius + WarmerKelvin <= WhatIf.WarmestCelsius)
            answer = whole.Ask(question, hold = hold with { Celsius = hold.Celsius + WarmerKelvin });
        return found is Refused refused ? refused with { Before = answer.Before, After = answer.After } : answer;
    }

    private static double WarmFrom(V1.AskWhatIfRequest.Types.SmallestWarming warming, WhatIfFacts facts, WhatIf engine, long nowMs) =>
        warming.FromTime.ToUnixMsOrNull() is { } toldMs
            ? AdvisingTerms.Hours(From("smallest_warming.from_time", toldMs, facts, nowMs), facts.FirstPourMs)
            : Math.Max(engine.PeakIsPastHours(facts.Case), AdvisingTerms.Hours(EarliestMs(facts, nowMs), facts.FirstPourMs));

    // Nobody warms what was: not before now for a piece, not before the pour for one to come.
    private static long EarliestMs(WhatIfFacts facts, long nowMs) => facts.Piece is null ? facts.FirstPourMs : Math.Max(nowMs, facts.FirstPourMs);

    private static long From(string field, long? toldMs, WhatIfFacts facts, long nowMs)
    {
        var earliestMs = EarliestMs(facts, nowMs);
        new FieldChecks().Require(
            toldMs is null || toldMs >= earliestMs - EventTime.ClockAllowance.TotalMilliseconds, field,
            $"must not lie before {(facts.Piece is null ? "the first pour" : "now")}, {Instants.Utc(earliestMs)}: what was cannot be warmed.",
            toldMs is { } ms ? Instants.Utc(ms) : null).ThrowIfAny();
        return Math.Max(earliestMs, toldMs ?? earliestMs);
    }

    private static long SessionMs(V1.AskWhatIfRequest request, WhatIfFacts facts)
    {
        var sessionMs = request.SessionTime.ToUnixMsOrNull() ?? facts.Piece?.PlannedSessionMs
            ?? throw Refusal.Invalid("session_time", null, "must be set: the piece has no planned session.");
        return sessionMs > facts.FirstPourMs ? sessionMs : throw Refusal.Invalid(
            "session_time", Instants.Utc(sessionMs), $"must lie after the first pour, {Instants.Utc(facts.FirstPourMs)}.");
    }

    private static void RequireChangeable(V1.AskWhatIfRequest request, WhatIfFacts facts)
    {
        if (facts.Piece is not { } piece || request.ChangeCase is not (ChangeCase.SplitPour or ChangeCase.OtherResin)) return;
        var what = request.ChangeCase == ChangeCase.SplitPour ? "in other layers" : "in another resin";
        throw Refusal.Precondition(Reasons.PiecePoured,
            $"Piece '{piece.Name}' is poured: it cannot be poured {what} any more. Ask the same of a pour that is only thought of, for the next one.",
            ("piece", piece.Name));
    }

    private static void CheckChange(FieldChecks checks, V1.AskWhatIfRequest request, long nowMs)
    {
        switch (request.ChangeCase)
        {
            case ChangeCase.HoldRoom:
                // Warmer than the engine tries itself is no room for people, wood or data sheets.
                checks.Celsius("hold_room.temperature_celsius", request.HoldRoom.TemperatureCelsius, -10, WhatIf.WarmestCelsius)
                    .YearAround("hold_room.from_time", request.HoldRoom.FromTime, nowMs).YearAround("hold_room.until_time", request.HoldRoom.UntilTime, nowMs);
                break;
            case ChangeCase.MoveSession:
                var hours = request.MoveSession.By.Hours();
                checks.Require(hours != 0 && Math.Abs(hours) <= MoveMost.TotalHours, "move_session.by", "must be set, up to 60 days.", $"{request.MoveSession.By}");
                break;
            case ChangeCase.SplitPour:
                checks.Within("split_pour.layer_count", request.SplitPour.LayerCount, 1, LayerPlanner.MostLayers, "layers");
                break;
            case ChangeCase.OtherResin:
                checks.Name("other_resin.resin_system", request.OtherResin.ResinSystem, ResourceKind.ResinSystem);
                break;
            case ChangeCase.SmallestWarming:
                checks.YearAround("smallest_warming.from_time", request.SmallestWarming.FromTime, nowMs);
                break;
        }
    }

    private static void CheckPour(V1.PredictCureRequest pour)
    {
        try
        {
            PredictCure.CheckShape(pour);
        }
        catch (Refusal refusal) when (refusal.Fields.Count > 0)
        {
            throw Refusal.Invalid([.. refusal.Fields.Select(field => field with { Field = $"pour.{field.Field}" })]);
        }
    }
}
