using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>Turns what is in the way of a placement into what people could do about it.</summary>
internal sealed class ChangeFinder(SeasonCase season, ClassPlan plan, IWarming? warming)
{
    private const double WarmingStepKelvin = 0.5;

    // Who is taken at the time needs somebody else; everything else about them can be asked of them.
    private static readonly PlanRule[] Taken = [PlanRule.OneClassAtATime, PlanRule.OneSiteADay, PlanRule.OvernightTravel];

    /// <summary>
    /// The changes that together make way for a placement; null where there are none: what the resin needs of time before a
    /// finish is nobody's to change, and a room is warmed within limits.
    /// </summary>
    public Proposal? Of(Obstacle obstacle)
    {
        var placement = WithGuest(obstacle, out var guest);
        var faults = guest is null ? obstacle.Faults : Remaining(obstacle.Faults, placement);
        var changes = faults.GroupBy(fault => fault.Rule)
            .SelectMany(rule => Of(placement, rule.Key, [.. rule]))
            .Append(guest).ToArray();
        return changes.Contains(Impossible) ? null : new([.. changes.OfType<Change>()], placement);
    }

    private static readonly Change Impossible = new Change.AllowPourDay(-1, -1);

    private IEnumerable<Change?> Of(Placement p, PlanRule rule, PlanFault[] faults) => rule switch
    {
        PlanRule.ChanceAllReady => [],
        PlanRule.LeastGap => [Warmer(p)],
        PlanRule.LongestGap => [new Change.LieLonger(p.Class, (int)faults[0].Value)],
        PlanRule.SiteAllowed => [new Change.HoldAt(p.Class, p.Site)],
        PlanRule.PourWindow => [new Change.AllowPourDay(p.Class, p.Pour.Day)],
        PlanRule.Weekday => faults.Select(f => season.Weekday(f.Day!.Value)).Distinct()
            .Select(day => new Change.AllowWeekday(p.Class, day)),
        PlanRule.SiteOpen => faults.Select(f => new Change.OpenSite(p.Site, f.Day!.Value)),
        PlanRule.BenchPlaces => 
        [
            new Change.AddBenchPlaces(p.Site, faults.Min(f => f.Day!.Value), faults.Max(f => f.Day!.Value), Missing(faults)),
        ],
        PlanRule.PlanerMinutes => [new Change.AddPlanerMinutes(p.Site, p.Machine.Day, Missing(faults))],
        PlanRule.SawMinutes => [new Change.AddSawMinutes(p.Site, p.Machine.Day, Missing(faults))],
        PlanRule.SandingPlaces => [new Change.AddSandingPlaces(p.Site, p.Machine.Day, Missing(faults))],
        PlanRule.Rooms => 
        [
            new Change.AddRoom(p.Site, season.Classes[p.Class].Students, [.. faults.Select(f => f.Day!.Value).Distinct().Order()]),
        ],
        PlanRule.Qualified => People(faults).Select(who => new Change.Qualify(who, season.Classes[p.Class].Offering)),
        PlanRule.Available => faults.Select(f => new Change.CallIn(f.Instructor!.Value, f.Day!.Value)),
        PlanRule.FarthestTravel => People(faults)
            .Select(who => new Change.SendFarther(who, p.Site, (int)faults.First(f => f.Instructor == who).Value)),
        PlanRule.DaysAWeek => faults.GroupBy(f => f.Instructor!.Value).Select(
            who => new Change.TeachMoreDays(who.Key, [.. who.Select(f => f.Day!.Value).Order()], (int)who.Max(f => f.Value))),
        _ => [Impossible],
    };

    private static int Missing(PlanFault[] faults) => (int)Math.Ceiling(faults.Max(f => f.Value - f.Limit));

    private static IEnumerable<int> People(PlanFault[] faults) => faults.Select(f => f.Instructor!.Value).Distinct();

    private Placement WithGuest(Obstacle obstacle, out Change? guest)
    {
        var taken = obstacle.Faults.Where(f => Taken.Contains(f.Rule)).ToArray();
        var (index, days) = (season.Instructors.Count, new SortedSet<int>());
        Attendance Free(Attendance session)
        {
            if (!taken.Any(f => f.Instructor == session.Instructor && Meets(f, session)))
                return session;
            days.Add(session.Day);
            return session with { Instructor = index };
        }
        var p = obstacle.Placement;
        var freed = p with { Pour = Free(p.Pour), Machine = Free(p.Machine), Finish = p.Finish is null ? null : Free(p.Finish) };
        guest = days.Count == 0 ? null
            : new Change.InviteGuest(index, p.Site, season.Classes[p.Class].Offering, [.. days]);
        return freed;
    }

    // A night is named by its morning.
    private static bool Meets(PlanFault fault, Attendance session) =>
        fault.Day == session.Day || fault.Rule == PlanRule.OvernightTravel && fault.Day == session.Day + 1;

    private static PlanFault[] Remaining(IEnumerable<PlanFault> faults, Placement placement) =>
        [.. faults.Where(f => !Taken.Contains(f.Rule) && (f.Instructor is null || placement.Sessions.Any(s => s.Instructor == f.Instructor)))];

    private Change Warmer(Placement p)
    {
        var (request, place) = (season.Classes[p.Class], season.Sites[p.Site]);
        var gap = place.SlotStartHours[p.Machine.Slot] - place.SlotEndHours[p.Pour.Slot];
        RoomWarming By(int steps) => new(p.Site, p.Pour.Day, p.Machine.Day, steps * WarmingStepKelvin);
        bool Does(int steps) => warming!.Warmed(By(steps)).LeastHours(request.Offering, p.Site, p.Pour.Slot, request.Pieces) <= gap;
        var (least, most) = (0, warming is null ? 0 : (int)Math.Floor(MostKelvin(p) / WarmingStepKelvin));
        if (most < 1 || !Does(most))
            return Impossible;
        while (most - least > 1)
        {
            var middle = (least + most) / 2;
            (least, most) = Does(middle) ? (least, middle) : (middle, most);
        }
        return new Change.WarmRoom(
            p.Class, season.Cure.LeastHours(request.Offering, p.Site, p.Pour.Slot, request.Pieces), gap, By(most));
    }

    // Whatever else cures in the room bears the warmth too, or it is not warmed.
    private double MostKelvin(Placement placement) => plan.Placed
        .Where(p => p.Site == placement.Site && p.Pour.Day <= placement.Machine.Day && p.Machine.Day >= placement.Pour.Day)
        .Append(placement)
        .Min(p => warming!.MostKelvin(season.Classes[p.Class].Offering, p.Site, p.Pour.Slot, season.Classes[p.Class].Pieces));
}
