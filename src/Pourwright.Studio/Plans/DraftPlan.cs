using System.Text.Json;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using LocalDays = Pourwright.Studio.Classes.Days;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>What a plan is made for.</summary>
/// <param name="Name">Of the plan.</param>
/// <param name="State">A draft or a proposal.</param>
/// <param name="Base">The plan that holds; null where none does.</param>
/// <param name="Happened">What it answers to; null for a season.</param>
/// <param name="Cause">Why a class is other than it was, in words that go on after a colon.</param>
internal sealed record PlanOrigin(string Name, State State, string? Base, PlanEvent? Happened, Func<int, string> Cause)
{
    /// <summary>A season, in which nothing that has its dates is moved.</summary>
    public static PlanOrigin Season(string name, string? published) => new(name, State.Draft, published, null, _ => "planned anew");
}

/// <summary>From what was found to the rows of a plan: who is where, what is other than before and why.</summary>
internal static class DraftPlan
{
    private const double HourMs = 3_600_000;

    /// <param name="season">As planned, with what happened.</param>
    /// <param name="plan">What was found.</param>
    /// <param name="studentsBound">No plan holds more.</param>
    /// <param name="origin">What it is made for.</param>
    /// <param name="why">Why a class of the season has no place.</param>
    public static PlanRecord Decide(PlannedSeason season, ClassPlan plan, int studentsBound, PlanOrigin origin, Func<int, string> why)
    {
        var before = season.Held.ToDictionary(p => p.Class);
        var placed = plan.Placed.ToDictionary(p => p.Class);
        var benches = LayOut.Decide(season, plan);
        string Change(Placement p) => before.GetValueOrDefault(p.Class) is { } was && PlanWords.Difference(season, was, p) is { Length: > 0 } what
            ? $"{what}: {origin.Cause(p.Class)}" : "";
        PlacementRecord[] classes =
        [
            .. plan.Placed.OrderBy(p => season.StartMs(p.Site, p.Pour)).Select(p => Placed(season, p, benches[p.Class], Change(p))),
            .. Enumerable.Range(0, season.Classes.Count).Where(c => !placed.ContainsKey(c))
                .Select(c => Unplaced(season.Classes[c], before.ContainsKey(c) ? $"Given up: {origin.Cause(c)}" : why(c))),
            .. season.Facts.Classes.Select(row => (row, Reason: SeasonOf.LeftOut(season.Facts, row))).Where(left => left.Reason is not null)
                .Select(left => Unplaced(left.row, left.Reason!)),
        ];
        var record = new PlanRecord
        {
            Name = origin.Name,
            Studio = season.Facts.Studio,
            State = origin.State,
            FirstDate = LocalDays.ToColumn(season.Facts.FirstDay),
            DayCount = season.Facts.PourDays,
            StudentCount = plan.Students(season.Case),
            StudentBoundCount = Math.Max(studentsBound, plan.Students(season.Case)),
            ClassCount = plan.Placed.Count,
            MovedCount = plan.Placed.Count(p => before.GetValueOrDefault(p.Class) is { } was && was != p),
            CancelledCount = before.Keys.Count(c => !placed.ContainsKey(c)),
            CreateMs = season.Facts.NowMs,
            BasePlan = origin.Base,
            Event = origin.Happened is { } happened ? EventJson.Write(happened) : null,
            Cautions = MessageListJson.Write(HeldCautions(season, plan)),
            Classes = classes,
        };
        return record with { Text = PlanText.Of(record, season) };
    }

    private static PlacementRecord Placed(PlannedSeason season, Placement p, IReadOnlyList<BenchShare> benches, string change) => new()
    {
        Class = season.Classes[p.Class].Name,
        Site = season.Facts.Sites[p.Site].Name,
        Benches = JsonSerializer.Serialize(benches),
        Students = season.Case.Classes[p.Class].Students,
        ReadyChance = season.Chance(p),
        GapMs = (long)(season.GapHours(p) * HourMs),
        LeastGapMs = (long)((season.LeastHours(p) ?? season.GapHours(p)) * HourMs),
        Change = change,
        Sessions = [.. SessionsOf(season, p).Select(PlacedSessionRecord.Of)],
    };

    // A class that stays keeps its times by the clock, which need not be those of half days.
    private static IEnumerable<SessionRecord> SessionsOf(PlannedSeason season, Placement p) =>
        season.Held.Contains(p) ? season.Facts.SessionsOf(season.Classes[p.Class].Name) : season.Sessions(p, null);

    private static PlacementRecord Unplaced(ClassRecord castingClass, string reason) =>
        new() { Class = castingClass.Name, Students = castingClass.Seats, Reason = reason };

    /// <summary>Sessions that people set, or that the records have left behind, may break rules: they are told of, not moved.</summary>
    private static IEnumerable<Caution> HeldCautions(PlannedSeason season, ClassPlan plan) =>
        from fault in PlanChecker.Check(season.Case, plan)
        from c in fault.Classes
        where season.Held.Any(p => p.Class == c)
        group fault.Rule by c into held
        let name = ResourceNames.IdOf(season.Classes[held.Key].Name)
        select Cautions.Of(
            Reasons.PlanBreaksRule, $"{name} has its dates already, and they break {PlanWords.Broken(held)}. Look at it, or replan.",
            ("casting_class", season.Classes[held.Key].Name), ("rules", string.Join(", ", held.Distinct())));
}
