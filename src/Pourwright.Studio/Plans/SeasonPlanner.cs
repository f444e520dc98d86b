using Pourwright.Planning.Explaining;
using Pourwright.Planning.Replanning;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Event = Pourwright.V1.PlanEvent.KindOneofCase;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Plans;

/// <summary>Loads seasons and looks for plans, beside the writer.</summary>
public sealed class SeasonPlanner(StudioReads reads, ResinModels models, CureScenarios scenarios, PlanOptions options, TimeProvider clock)
{
    /// <summary>Classes without a place whose reason is looked for at once; of the others ExplainClass tells. Our choice: some 0.2 s each.</summary>
    private const int MostExplained = 24;

    /// <summary>A season as the records have it, and with what happened.</summary>
    internal PlannedSeason Load(string studio, DateOnly firstDay, int pourDays, HeldClasses held, PlanEvent? happened = null)
    {
        var facts = reads.Read(session =>
        {
            var loaded = SeasonFactsStore.Load(session, studio, firstDay, pourDays, clock.GetUtcNow(), models, options);
            return happened is null ? loaded : MeetEvent.Decide(loaded, happened, SeasonFactsStore.Dry(session, happened));
        });
        return SeasonOf.Decide(facts, scenarios, held);
    }

    /// <summary>The season of a stored plan, of now.</summary>
    internal PlannedSeason LoadFor(PlanRecord plan) => Load(
        plan.Studio, LocalDays.FromColumn(plan.FirstDate), plan.DayCount, HeldClasses.MayMove,
        plan.Event is { } happened && EventJson.Read(happened) is { KindCase: not Event.ColdSnap } read ? read : SnapOf(plan));

    /// <summary>Asks the cure of every class on every day that it may be held, so that the search does not wait for it.</summary>
    internal static void AskCure(PlannedSeason season, Action<string> tell, CancellationToken stop)
    {
        var cure = (SeasonCure)season.Case.Cure;
        for (var c = 0; c < season.Classes.Count && !stop.IsCancellationRequested; c++)
        {
            var (request, solved) = (season.Case.Classes[c], cure.Solved);
            foreach (var site in request.Sites)
                for (var slot = 2 * Math.Max(0, request.FirstDay); slot < 2 * (request.LastDay + 1) && !stop.IsCancellationRequested; slot++)
                    if (season.Case.Sites[site].Days[slot / 2].Open) cure.LeastHours(request.Offering, site, slot, request.Pieces);
            if (cure.Solved > solved || c == season.Classes.Count - 1) tell($"Cure of {c + 1} of {season.Classes.Count} classes asked; {cure.Solved} courses of a cure known.");
        }
    }

    /// <summary>Looks for a plan in which classes that have their sessions keep them; stopped early, the best until then.</summary>
    internal (ClassPlan Plan, int StudentsBound) Search(PlannedSeason season, IProgress<Pourwright.Planning.Solving.PlanProgress> tell, CancellationToken stop)
    {
        // As many lanes on every machine: the same records give the same plan.
        var found = SeasonSolver.Solve(season.Case, new() { RoundsAClass = options.RoundsAClass, Coolings = options.Coolings, ProvedClasses = options.ProvedClasses }, tell, stop);
        return (KeepHeld.Decide(season, found.Plan), found.StudentsBound);
    }

    /// <summary>Ways out of what happened, from the fewest sessions moved to the fewest classes given up.</summary>
    /// <param name="near">Classes whose sessions may change though they begin soon.</param>
    internal PlanMending Mend(PlannedSeason season, IReadOnlySet<int> near, CancellationToken stop) => PlanMender.Propose(
        season.Case, new(season.Held), season.HourOf(season.Facts.NowMs), near,
        new() { FrozenHours = options.ChangesEndAhead.TotalHours, StageSeconds = options.ReplanStageSeconds }, stop);

    /// <summary>Why classes have no place, in a sentence each.</summary>
    internal static Func<int, string> Why(PlannedSeason season, ClassPlan plan)
    {
        var explainer = new ClassExplainer(season.Case, plan, new(Proposals: 0));
        int[] left = [.. Enumerable.Range(0, season.Classes.Count).Except(plan.Placed.Select(p => p.Class)).Take(MostExplained)];
        var reasons = left.AsParallel().ToDictionary(c => c, c => ExplainClass.Reason(explainer.Explain(c)));
        return c => reasons.GetValueOrDefault(c, "No place beside the others; ask why for this class.");
    }

    // A cold spell of a plan that holds is in the facts already.
    private static PlanEvent? SnapOf(PlanRecord plan) =>
        plan is { State: V1.Plan.Types.State.Proposed, Event: { } happened } ? EventJson.Read(happened) : null;
}
