using System.Globalization;
using Pourwright.Cure;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;
using PieceState = Pourwright.V1.Piece.Types.State;

namespace Pourwright.Studio.Forecasts;

/// <summary>One pour with what was in it.</summary>
/// <param name="Pour">When, where and how deep.</param>
/// <param name="Mix">Of what.</param>
/// <param name="Resin">Of which resin system.</param>
/// <param name="Model">The cure model fitted to its data sheet.</param>
/// <param name="RateLnSd">How far the sheet leaves its rate open, in ln.</param>
public sealed record PourFacts(PourRecord Pour, MixRecord Mix, ResinSystemRecord Resin, ResinCureModel Model, double RateLnSd);

/// <summary>All that a forecast of one piece rests on, as of one commit.</summary>
public sealed record ForecastFacts
{
    public required PieceRecord Piece { get; init; }

    /// <summary>First to last, at least one.</summary>
    public required IReadOnlyList<PourFacts> Pours { get; init; }

    /// <summary>Where it stands and stood, in order.</summary>
    public required IReadOnlyList<BenchStay> Stays { get; init; }

    /// <summary>Of the site: people read its clocks.</summary>
    public required TimeZoneInfo Zone { get; init; }

    /// <summary>Under it, where it stands now, in mm.</summary>
    public required double BoardThicknessMm { get; init; }

    /// <summary>What is known of its resin; null for a piece of several resins, of which nothing can be learned.</summary>
    public ResinKnowledge? Resin { get; init; }

    /// <summary>Resource names of the lots of its newest pour, joined by '+'.</summary>
    public string Lots { get; init; } = "";

    /// <summary>The forecast that counts so far, without its course; null while there is none.</summary>
    public ForecastRecord? Latest { get; init; }

    /// <summary>When people last recorded or corrected a pour of it, Unix ms by the clock of the writer.</summary>
    public required long PoursChangeMs { get; init; }

    /// <summary>Whether the forecast that counts knows every pour as it is right.</summary>
    public bool IsLatestStanding => Latest?.ForecastMs >= PoursChangeMs;
}

/// <summary>From a piece, its pours and its room to a forecast.</summary>
public static class ForecastPiece
{
    public const string OffRatio = "OFF_RATIO";

    /// <summary>How long a piece is forecast after the last of its gates is open. Common practice, no source: by then a person has touched it.</summary>
    private static readonly TimeSpan AfterLastGate = TimeSpan.FromHours(24);

    /// <summary>Gates that move by less are the same to a person: a touch test takes as long, and every reading in a steady room makes a forecast a little surer.</summary>
    private const long MaterialMs = 5 * 60_000;

    /// <summary>What is left where nothing can be forecast.</summary>
    public const string GoByTouch = "Go by the data sheet and the touch test, and look after a deep pour until it has cooled.";

    private const double HourMs = 3_600_000;

    /// <summary>Is there anything left to say of the piece? Old ones do not cost for ever, whatever their rooms go on to measure.</summary>
    public static bool IsDue(ForecastFacts facts, Cause cause, long nowMs)
    {
        if (!IsCuring(facts.Piece.State)) return false;
        if (cause != Cause.Readings) return true;
        var horizonEndMs = facts.Pours[^1].Pour.PourMs + (long)(CureTerms.HorizonHours * HourMs);
        var lastGateMs = facts.Latest?.SandSafeMs ?? horizonEndMs;
        return nowMs <= Math.Min(lastGateMs + (long)AfterLastGate.TotalMilliseconds, horizonEndMs);
    }

    /// <summary>A piece out of its mould goes on curing until it is handed over.</summary>
    public static bool IsCuring(PieceState state) => state is PieceState.Curing or PieceState.Demolded;

    /// <summary>The next forecast of a piece; null where it would tell a person nothing new, but never after a pour or a correction: until a forecast knows it, the piece has none. Heavy: not for the writer's thread.</summary>
    public static ForecastRecord? Decide(ForecastFacts facts, Cause cause, long nowMs)
    {
        var room = Room(facts, nowMs);
        var record = new ForecastRecord
        {
            Piece = facts.Piece.Name,
            Revision = (facts.Latest?.Revision ?? 0) + 1,
            // The writer's clock never goes back, this one may: of two that differ it would seem older than what it knows.
            ForecastMs = Math.Max(nowMs, facts.PoursChangeMs),
            Cause = cause,
            PourMs = facts.Pours[0].Pour.PourMs,
            LastReadingMs = room.LastReadingMs,
            GapMs = room.GapMs,
            RoomAssumption = room.Assumption,
            ObservationCount = facts.Resin?.Belief.Draws.Observations ?? 0,
        };
        IReadOnlyList<V1.Caution> known = [.. room.Cautions, .. RatioCautions(facts.Pours)];
        var piece = Case(facts, room);
        var draws = ForecastDraws.Of(facts, piece);
        var forecast = Computed(record, piece, draws, known);
        if (cause is not (Cause.Pour or Cause.Correction) && facts.IsLatestStanding && IsSame(facts.Latest!, forecast)) return null;
        var why = ForecastReason.Of(facts, forecast, room);
        return forecast with
        {
            Reason = string.Join(' ', why.Select(statement => statement.Text)),
            Statements = MessageListJson.Write(why),
            Advice = MessageListJson.Write(forecast.IsComputed ? ForecastAdvice.Of(facts, piece, draws, forecast) : []),
        };
    }

    /// <summary>The room as it was and as it will be, as seen at an instant.</summary>
    public static RoomCourse Room(ForecastFacts facts, long nowMs) =>
        RoomForecast.Course(facts.Stays, nowMs, facts.Pours[^1].Pour.PourMs + (long)(CureTerms.HorizonHours * HourMs));

    /// <summary>The question to the engine: hours count from the first pour.</summary>
    public static PieceCase Case(ForecastFacts facts, RoomCourse room)
    {
        var pourMs = facts.Pours[0].Pour.PourMs;
        double Hours(PourFacts pour) => (pour.Pour.PourMs - pourMs) / HourMs;
        return new PieceCase
        {
            Layers =
            [
                .. facts.Pours.Select(pour => new PouredLayer(
                    Hours(pour), pour.Pour.DepthMm, ResinCelsius(pour, room, Hours(pour)), pour.Model)),
            ],
            Ambient = room.Ambient,
            BoardThicknessMm = CureTerms.BoardMm(facts.BoardThicknessMm),
            ChannelWidthMm = facts.Piece.ChannelWidthMm,
            WorkCelsius = CureTerms.WorkCelsius,
            HorizonHours = CureTerms.HorizonHours + Hours(facts.Pours[^1]),
        };
    }

    private static double ResinCelsius(PourFacts pour, RoomCourse room, double atHours) =>
        pour.Pour.ResinTemperatureCelsius ?? pour.Mix.TemperatureCelsius ?? room.CelsiusAt(atHours);

    private static ForecastRecord Computed(ForecastRecord record, PieceCase piece, PieceDraws draws, IReadOnlyList<V1.Caution> known)
    {
        try
        {
            var ladder = LadderForecaster.Forecast(piece, draws);
            return WithTimes(record, ladder) with
            {
                ModelRevision = ladder.ModelRevision,
                PeakLowCelsius = ladder.Peak.LowCelsius,
                PeakLikelyCelsius = ladder.Peak.LikelyCelsius,
                PeakHighCelsius = ladder.Peak.HighCelsius,
                PeakLikelyOffsetMs = Ms(ladder.Peak.LikelyAtHours),
                RunawayMarginRatio = ladder.Peak.RunawayMargin,
                Cautions = MessageListJson.Write([.. CureCautions.Of(ladder), .. known]),
                Course = CourseJson.Write(UntilDone(ladder)),
            };
        }
        catch (CureRangeException range)
        {
            return record with { Cautions = MessageListJson.Write([Unanswerable(range), .. known]) };
        }
    }

    private static ForecastRecord WithTimes(ForecastRecord record, PieceLadder ladder)
    {
        long? At(double? hours) => hours is { } known ? record.PourMs + Ms(known) : null;
        TimeRange Range(GateTimes times) => new(At(times.EarliestHours), At(times.LikelyHours), At(times.SafeHours));
        TimeRange RungRange(LadderGate gate) => Range(ladder[gate].Times);
        var (gel, demold) = (RungRange(LadderGate.Gel), RungRange(LadderGate.Demold));
        var (handle, sand) = (RungRange(LadderGate.Handle), RungRange(LadderGate.Sand));
        return record with
        {
            GelEarliestMs = gel.EarliestMs,
            GelLikelyMs = gel.LikelyMs,
            GelSafeMs = gel.SafeMs,
            DemoldEarliestMs = demold.EarliestMs,
            DemoldLikelyMs = demold.LikelyMs,
            DemoldSafeMs = demold.SafeMs,
            HandleEarliestMs = handle.EarliestMs,
            HandleLikelyMs = handle.LikelyMs,
            HandleSafeMs = handle.SafeMs,
            SandEarliestMs = sand.EarliestMs,
            SandLikelyMs = sand.LikelyMs,
            SandSafeMs = sand.SafeMs,
            Ladder = LadderJson.Write(new()
            {
                FirstGel = RungRange(LadderGate.FirstGel),
                Recoat = Range(ladder.Recoat),
                HandOver = Range(ladder.HandOver),
                FullCure = RungRange(LadderGate.FullCure),
                Opens = Range(ladder.NextLayer.Opens),
                Closes = Range(ladder.NextLayer.Closes),
                BestMs = At(ladder.NextLayer.BestAtHours),
                BestShare = ladder.NextLayer.ShareAtBest,
                Stalls = CureTerms.Stalls(ladder).ToDictionary(
                    stall => stall.Gate, stall => new StallRow(stall.Why.RoomCelsius, stall.Why.ReachedConversion, stall.Why.WantedConversion)),
            }),
        };
    }

    /// <summary>The course up to a day after the last gate: what follows is a flat line that every revision would keep again.</summary>
    private static IEnumerable<CureSample> UntilDone(PieceLadder ladder)
    {
        var endHours = ladder[LadderGate.Sand].Times.SafeHours + AfterLastGate.TotalHours ?? double.PositiveInfinity;
        return CureTerms.HourByHour(ladder).TakeWhile(sample => sample.AtHours <= endHours);
    }

    /// <summary>Why a forecast that is not computed is not, and what to go by instead.</summary>
    public static string WhyNone(ForecastRecord forecast) => MessageListJson.Read<V1.Caution>(forecast.Cautions)
        .FirstOrDefault(caution => caution.Reason == Reasons.CureModelRange)?.Text ?? GoByTouch;

    private static V1.Caution Unanswerable(CureRangeException range) => Cautions.Of(
        Reasons.CureModelRange,
        string.Create(
            CultureInfo.InvariantCulture,
            $"No forecast: {range.Quantity} is {range.Value:g6} {range.Unit}, and the model knows {range.Lowest:g6} to {range.Highest:g6} {range.Unit}. {GoByTouch}"),
        ("quantity", range.Quantity),
        ("value", range.Value.ToString(CultureInfo.InvariantCulture)),
        ("lowest", range.Lowest.ToString(CultureInfo.InvariantCulture)),
        ("highest", range.Highest.ToString(CultureInfo.InvariantCulture)),
        ("unit", range.Unit));

    private static IEnumerable<V1.Caution> RatioCautions(IEnumerable<PourFacts> pours) =>
        from pour in pours.DistinctBy(pour => pour.Mix.Name)
        let deviation = Math.Abs(pour.Mix.RatioDeviationPercent)
        where deviation > pour.Resin.RatioTolerancePercent
        let percent = deviation.ToString("0.0", CultureInfo.InvariantCulture)
        select Cautions.Of(
            OffRatio,
            $"The hardener of {pour.Mix.Name} lies {percent} % off its ratio; the forecast assumes the right one. It may cure later, softer "
            + "or never: trust only the touch test, at several places.",
            ("mix", pour.Mix.Name), ("ratio_deviation_percent", percent));

    private static bool IsSame(ForecastRecord a, ForecastRecord b) =>
        a.PourMs == b.PourMs && a.ModelRevision == b.ModelRevision
        && Times(a).Zip(Times(b)).All(pair => IsSame(pair.First, pair.Second))
        && CautionReasons(a).SequenceEqual(CautionReasons(b));

    private static bool IsSame(long? aMs, long? bMs) => aMs is null || bMs is null ? aMs == bMs : Math.Abs(aMs.Value - bMs.Value) <= MaterialMs;

    private static long?[] Times(ForecastRecord f) =>
    [
        f.GelEarliestMs, f.GelLikelyMs, f.GelSafeMs, f.DemoldEarliestMs, f.DemoldLikelyMs, f.DemoldSafeMs,
        f.HandleEarliestMs, f.HandleLikelyMs, f.HandleSafeMs, f.SandEarliestMs, f.SandLikelyMs, f.SandSafeMs,
    ];

    private static IEnumerable<string> CautionReasons(ForecastRecord forecast) =>
        MessageListJson.Read<V1.Caution>(forecast.Cautions).Select(caution => caution.Reason);

    private static long Ms(double hours) => (long)Math.Round(hours * HourMs);
}
