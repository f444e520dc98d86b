using Pourwright.Cure;
using Pourwright.Cure.Learning;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Cause = Pourwright.V1.Forecast.Types.Cause;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>What was learned from one check or step, with the forecast that follows; not yet saved.</summary>
public sealed record Lesson(BeliefRecord Belief, LearnedObservation Observation, LotPace? Pace, ForecastDraft Draft);

/// <summary>Learns beside the writer and saves in it.</summary>
public sealed class Lessons(StudioReads reads, ResinModels models, TimeProvider clock, Climate.ClimateOptions options)
{
    private const double HourMs = 3_600_000;

    /// <summary>Learns what a check or step saw, and forecasts its piece by that; null where it teaches nothing. Takes half a second of one core.</summary>
    /// <param name="piece">Which piece.</param>
    /// <param name="source">Name of the check or step.</param>
    /// <param name="observations">What it saw; hours count from the first pour.</param>
    public Lesson? Learn(string piece, string source, Func<StudioSession, ForecastFacts, IReadOnlyList<Observation>> observations)
    {
        var now = clock.GetUtcNow();
        var (facts, seen, pours) = reads.Read(session =>
        {
            var loaded = BeliefStore.IsLearned(session, source) ? null : ForecastFactsStore.Load(session, piece, now, models);
            return loaded?.Resin is not { } resin ? (null, [], []) : (loaded, observations(session, loaded), Past(session, resin.Belief));
        });
        return facts is null || seen.Count == 0 ? null : Decide(facts, source, seen, pours, now.ToUnixMs());
    }

    /// <summary>Saves a lesson with its forecast, and lets the sisters of the piece be forecast anew; false where somebody was faster, so that it must be learned again.</summary>
    public bool TrySave(StudioTransaction tx, Lesson lesson)
    {
        if (BeliefStore.IsLearned(tx, lesson.Observation.Source)) return true;
        if (BeliefStore.Revision(tx, lesson.Belief.ResinSystem) != lesson.Belief.Revision - 1) return false;
        if (!PieceForecasts.TrySave(tx, lesson.Draft)) return false;
        BeliefStore.Save(tx, lesson.Belief, lesson.Observation);
        TouchedBenchStore.TouchResin(tx, lesson.Belief.ResinSystem, (tx.Now + options.ForecastDelay).ToUnixMs());
        return true;
    }

    private static Lesson? Decide(ForecastFacts facts, string source, IReadOnlyList<Observation> seen, IReadOnlyList<string> past, long nowMs)
    {
        var observed = ForecastDraws.Observed(facts, ForecastPiece.Case(facts, ForecastPiece.Room(facts, nowMs))) with { Observations = seen };
        if (Learned(past.Aggregate(facts.Resin!.Belief, (b, pour) => b.Forget(pour)), observed) is not { } belief) return null;
        var resin = facts.Pours[^1].Resin.Name;
        return new(
            new() { ResinSystem = resin, Revision = facts.Resin.Revision + 1, LearnMs = nowMs, Draws = DrawsJson.Write(belief.Draws) },
            new(source, facts.Piece.Name, resin, facts.Lots, nowMs), belief.Lot(facts.Lots),
            PieceForecasts.Draft(facts with { Resin = facts.Resin with { Belief = belief } }, Cause.Check, nowMs));
    }

    // Pieces that left the house: of their pours nothing more will be asked.
    private static IReadOnlyList<string> Past(StudioSession session, ResinBelief belief) =>
        [.. belief.Pours.Except(BeliefStore.StillCuring(session, [.. belief.Pours]))];

    // What was seen weeks after the pour, or in its very instant, lies outside what can be learned from: it teaches nothing.
    private static ResinBelief? Learned(ResinBelief belief, ObservedPiece observed)
    {
        try
        {
            return belief.Given(observed).Belief;
        }
        catch (CureRangeException)
        {
            return null;
        }
    }

    /// <summary>Hours of an instant after the first pour.</summary>
    public static double Hours(ForecastFacts facts, long ms) => (ms - facts.Pours[0].Pour.PourMs) / HourMs;
}
