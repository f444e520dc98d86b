using Pourwright.Studio.Climate;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Forecasts;

/// <summary>Gathers what a forecast rests on.</summary>
public static class ForecastFactsStore
{
    /// <summary>Of the present bench: a week tells how it follows what drives it, and how far its forecasts were off.</summary>
    private static readonly TimeSpan BeforeNow = TimeSpan.FromDays(7);

    /// <summary>Before a stay: the reading that carries the line over its beginning.</summary>
    private static readonly TimeSpan BeforeStay = TimeSpan.FromHours(24);

    /// <summary>The facts of a piece; null where nothing was poured yet. Fits a resin system's data sheet the first time it meets it.</summary>
    public static ForecastFacts? Load(StudioSession session, string piece, DateTimeOffset now, ResinModels models)
    {
        var pours = PieceStore.GetPours(session, piece);
        if (pours.Count == 0) return null;
        var benches = Benches(pours, PieceStore.GetSteps(session, piece));
        var record = PieceStore.GetPiece(session, piece);
        PourFacts[] poured = [.. pours.Select(pour => WithResin(session, pour, models))];
        var isOfOneResin = poured.DistinctBy(pour => pour.Resin.Name).Count() == 1;
        return new ForecastFacts
        {
            Piece = record,
            Zone = SiteStore.GetSite(session, record.Site).Zone,
            Pours = poured,
            Resin = isOfOneResin ? ResinKnowledge.Load(session, poured[^1].Resin, models) : null,
            Lots = string.Join('+', BeliefStore.LotsOf(session, poured[^1].Mix.Name)),
            Stays = [.. benches.Select((at, i) => Stay(session, at, i + 1 < benches.Count ? benches[i + 1].FromMs : null, now))],
            BoardThicknessMm = SiteStore.GetBench(session, benches[^1].Bench).BoardThicknessMm,
            Latest = ForecastStore.LatestGates(session, piece),
            PoursChangeMs = PieceStore.PoursChangeMs(session, piece),
        };
    }

    /// <summary>Where the piece stood since its first pour: a pour says where, and so does a move.</summary>
    private static List<(string Bench, long FromMs)> Benches(IReadOnlyList<PourRecord> pours, IReadOnlyList<StepRecord> steps) => BenchStay.Benches(
        pours.Select(pour => (pour.Bench, pour.PourMs))
            .Concat(steps.Where(step => step.Bench is not null && step.StepMs >= pours[0].PourMs).Select(step => (step.Bench!, step.StepMs))));

    private static PourFacts WithResin(StudioSession session, PourRecord pour, ResinModels models)
    {
        var mix = MixStore.GetMix(session, pour.Mix);
        var resin = ResinStore.GetResinSystem(session, mix.ResinSystem);
        var calibration = models.Of(resin);
        return new PourFacts(pour, mix, resin, calibration.Model, calibration.RateLnSd);
    }

    /// <summary>A stay at a bench, from an instant to another, for good where null.</summary>
    public static BenchStay Stay(StudioSession session, (string Bench, long FromMs) at, long? untilMs, DateTimeOffset now)
    {
        var bench = SiteStore.GetBench(session, at.Bench);
        var sensors = SiteStore.GetSensorsAt(session, bench);
        var fromMs = at.FromMs - (long)BeforeStay.TotalMilliseconds;
        if (untilMs is null) fromMs = Math.Min(fromMs, (now - BeforeNow).ToUnixMs());
        return new BenchStay
        {
            FromMs = at.FromMs,
            Readings = ClimateStore.GetReadings(session, sensors, fromMs, untilMs ?? (now + EventTime.ClockAllowance).ToUnixMs()),
            IntervalMs = ClimateStore.IntervalMs(sensors),
            PlannedCelsius = bench.PlannedTemperatureCelsius,
            Outlook = untilMs is null ? OutlookStore.Find(session, at.Bench) : null,
        };
    }
}
