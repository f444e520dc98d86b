using System.Numerics;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>
/// Looks at every placement of one class beside a fixed plan, also at those that nobody asked for or that break rules, and finds
/// the inclusion-minimal sets of rules that any of them breaks.
/// </summary>
/// <remarks>
/// Nothing is left out but what breaks all the rules of a placement seen before, and more, or the same at no less strain. So a
/// class of which this finds no placement within the rules has none.
/// </remarks>
internal sealed class PlacementSearch
{
    private readonly SeasonCase season;
    private readonly PlanUse use;
    private readonly ClassRequest request;
    private readonly Offering offering;
    private readonly SearchReach reach;
    private readonly int @class;
    private readonly SmallestChanges smallest;

    private PlacementSearch(SeasonCase season, IEnumerable<Placement> others, int @class, SearchReach reach)
    {
        (this.season, this.@class, this.reach) = (season, @class, reach);
        (request, use) = (season.Classes[@class], new(season, others));
        (offering, smallest) = (season.Offerings[request.Offering], new(season.Sites.Count));
    }

    /// <param name="others">The plan without the class.</param>
    public static SmallestChanges Run(SeasonCase season, IEnumerable<Placement> others, int @class, SearchReach reach)
    {
        var search = new PlacementSearch(season, others, @class, reach);
        foreach (var site in search.SitesInReach())
            search.LookAt(site);
        return search.smallest;
    }

    private IEnumerable<int> SitesInReach() => Enumerable.Range(0, season.Sites.Count)
        .Where(site => request.Sites.Contains(site) || request.Sites.Any(asked => season.TravelMinutes[asked][site] <= reach.SiteMinutes))
        .OrderBy(site => request.Sites.Contains(site) ? 0 : 1);

    private void LookAt(int site)
    {
        var firstDay = Math.Max(0, request.FirstDay - reach.Days);
        var lastDay = Math.Min(season.Days - 1, request.LastDay + reach.Days);
        var asked = request.Sites.Contains(site) ? default : Broken(PlanRule.SiteAllowed);
        var (machines, finishes) = (new SessionWays[season.Days], new SessionWays[2 * season.Days]);
        foreach (var slot in Enumerable.Range(2 * firstDay, Math.Max(0, 2 * (lastDay - firstDay + 1)))
            .OrderBy(slot => Math.Abs(slot / 2 - request.FavouriteDay)))
            LookAt(site, slot, asked + Window(slot / 2), machines, finishes);
    }

    private void LookAt(int site, int pourSlot, Part soFar, SessionWays?[] machines, SessionWays?[] finishes)
    {
        var pour = Session(site, pourSlot, pourSlot);
        var least = season.Cure.LeastHours(request.Offering, site, pourSlot, request.Pieces);
        soFar += pour.Part;
        var lastDay = Math.Min(season.Days - 1, pourSlot / 2 + offering.LongestGapDays + reach.Days);
        var missingPlaces = BenchMissing(site, pourSlot / 2);
        for (var day = pourSlot / 2 + 1; day <= lastDay && !smallest.Covers(soFar.Bits, site, soFar.Strain); day++)
        {
            missingPlaces = Math.Max(missingPlaces, BenchMissing(site, day));
            var machine = machines[day] ??= MachineDay(site, day);
            var both = soFar + machine.Part + Bench(missingPlaces) + Cure(site, pourSlot, day, least);
            if (offering.Finish is { } rule)
                LookAt(site, new(pour, machine, both), rule, finishes);
            else
                Staff(site, new(pour, machine, both), null, both);
        }
    }

    private void LookAt(int site, Pair pair, FinishRule rule, SessionWays?[] finishes)
    {
        var machineDay = pair.Machine.Slot / 2;
        var lastSlot = 2 * Math.Min(season.Days - 1, machineDay + rule.WithinDays + reach.Days) + 1;
        for (var slot = 2 * machineDay + 2; slot <= lastSlot && !smallest.Covers(pair.Part.Bits, site, pair.Part.Strain); slot++)
        {
            var finish = finishes[slot] ??= Session(site, slot, slot);
            var all = pair.Part + finish.Part + Finish(site, machineDay, slot, rule);
            if (!smallest.Covers(all.Bits, site, all.Strain))
                Staff(site, pair, finish, all);
        }
    }

    private void Staff(int site, Pair pair, SessionWays? finish, Part part)
    {
        foreach (var first in pair.Pour.Teachers)
        {
            var one = part + first.Part;
            if (smallest.Covers(one.Bits, site, one.Strain))
                continue;
            foreach (var second in pair.Machine.Teachers)
            {
                var two = one + second.Part;
                if (smallest.Covers(two.Bits, site, two.Strain))
                    continue;
                if (finish is null)
                    Offer(site, pair, null, two, first, second, null);
                else
                    foreach (var third in finish.Teachers)
                        Offer(site, pair, finish, two + third.Part, first, second, third);
            }
        }
    }

    private void Offer(int site, Pair pair, SessionWays? finish, Part part, Teacher first, Teacher second, Teacher? third)
    {
        var (pour, machine) = (new Attendance(pair.Pour.Slot, first.Instructor), new Attendance(pair.Machine.Slot, second.Instructor));
        var last = third is null ? null : new Attendance(finish!.Slot, third.Instructor);
        part += Weeks(pour, machine, last);
        if (!smallest.Covers(part.Bits, site, part.Strain))
            smallest.Take(part.Bits, part.Strain, new(@class, site, pour, machine, last));
    }

    // Each session fits into its week by itself or says so; here those of one person are counted together.
    private Part Weeks(Attendance first, Attendance second, Attendance? third)
    {
        var over = Math.Max(Over(first, second, third), Over(second, first, third));
        if (third is not null)
            over = Math.Max(over, Over(third, first, second));
        return over > 0 ? Broken(PlanRule.DaysAWeek, over) : default;
    }

    // By how many days the week of a session is too full, where others of the class are of the same person.
    private int Over(Attendance session, Attendance other, Attendance? third)
    {
        if (session.Instructor != other.Instructor && session.Instructor != third?.Instructor)
            return 0;
        var week = season.Week(session.Day);
        int New(Attendance? at) => at is not null && at.Instructor == session.Instructor && season.Week(at.Day) == week
            && use.SiteOn[at.Instructor, at.Day] == PlanUse.Nowhere ? 1 : 0;
        var begun = New(session) + New(other) + New(third);
        return begun == 0 ? 0 : use.DaysTaught[session.Instructor, week] + begun - season.Instructors[session.Instructor].DaysAWeek;
    }

    private Part Window(int day)
    {
        var off = Math.Max(request.FirstDay - day, day - request.LastDay);
        var favourite = new Part(0, FavouriteStrain * Math.Abs(day - request.FavouriteDay));
        return off > 0 ? favourite + Broken(PlanRule.PourWindow, off / 7.0) : favourite;
    }

    private Part Cure(int site, int pourSlot, int machineDay, double? least)
    {
        var place = season.Sites[site];
        var gap = place.SlotStartHours[2 * machineDay] - place.SlotEndHours[pourSlot];
        var days = machineDay - pourSlot / 2 - offering.LongestGapDays;
        var soft = least is { } hours ? (hours - gap) / 24 : NeverStrain;
        return (soft > 0 ? Broken(PlanRule.LeastGap, soft) : default)
            + (days > 0 ? Broken(PlanRule.LongestGap, days) : default);
    }

    private Part Finish(int site, int machineDay, int slot, FinishRule rule)
    {
        var place = season.Sites[site];
        var early = rule.AfterHours - (place.SlotStartHours[slot] - place.SlotEndHours[2 * machineDay + 1]);
        var late = slot / 2 - machineDay - rule.WithinDays;
        return (early > 0 ? Broken(PlanRule.FinishNotBefore, early / 24) : default)
            + (late > 0 ? Broken(PlanRule.FinishWithin, late) : default);
    }

    private int BenchMissing(int site, int day) => use.BenchPlaces[site, day] + request.Pieces - season.Sites[site].Days[day].BenchPlaces;

    private Part Bench(int missingPlaces) =>
        missingPlaces > 0 ? Broken(PlanRule.BenchPlaces, missingPlaces / (double)Math.Max(1, request.Pieces)) : default;

    private SessionWays MachineDay(int site, int day)
    {
        var has = season.Sites[site].Days[day];
        var ways = Session(site, 2 * day, 2 * day + 1);
        var planer = use.PlanerMinutes[site, day] + request.Pieces * offering.PlanerMinutesPerPiece - has.PlanerMinutes;
        var saw = use.SawMinutes[site, day] + request.Pieces * offering.SawMinutesPerPiece - has.SawMinutes;
        var sanding = use.SandingPlaces[site, day] + request.Students - has.SandingPlaces;
        return ways with
        {
            Part = ways.Part + Missing(PlanRule.PlanerMinutes, planer / 60.0) + Missing(PlanRule.SawMinutes, saw / 60.0)
                + Missing(PlanRule.SandingPlaces, sanding / (double)Math.Max(1, request.Students)),
        };
    }

    private static Part Missing(PlanRule rule, double strain) => strain > 0 ? Broken(rule, strain) : default;

    private SessionWays Session(int site, int firstSlot, int lastSlot)
    {
        var day = firstSlot / 2;
        var part = request.Weekdays.Contains(season.Weekday(day)) ? default : Broken(PlanRule.Weekday);
        if (!season.Sites[site].Days[day].Open)
            part += Broken(PlanRule.SiteOpen);
        if (!use.HasRoom(site, firstSlot, request.Students) || !use.HasRoom(site, lastSlot, request.Students))
            part += Broken(PlanRule.Rooms);
        return new(firstSlot, part, Teachers(site, firstSlot, lastSlot));
    }

    // Of those whose broken rules hold the same, three will do: one of the three is free of each other session of the class.
    private List<Teacher> Teachers(int site, int firstSlot, int lastSlot)
    {
        var kept = new List<Teacher>();
        foreach (var teacher in Enumerable.Range(0, season.Instructors.Count)
            .Select(who => new Teacher(who, Teaching(who, site, firstSlot, lastSlot)))
            .OrderBy(teacher => BitOperations.PopCount((uint)teacher.Part.Bits)).ThenBy(teacher => teacher.Part.Strain))
            if (kept.Count(better => (better.Part.Bits & ~teacher.Part.Bits) == 0) < 3)
                kept.Add(teacher);
        return kept;
    }

    private Part Teaching(int who, int site, int firstSlot, int lastSlot)
    {
        var (instructor, day) = (season.Instructors[who], firstSlot / 2);
        var minutes = season.TravelMinutes[instructor.HomeSite][site];
        var at = use.SiteOn[who, day];
        var part = new Part(0, minutes * TravelStrain);
        if (!instructor.Offerings.Contains(request.Offering)) part += Broken(PlanRule.Qualified);
        if (!instructor.Available[day]) part += Broken(PlanRule.Available);
        if (minutes > instructor.FarthestMinutes) part += Broken(PlanRule.FarthestTravel, (minutes - instructor.FarthestMinutes) / 60.0);
        if (use.Taught[who, firstSlot] || use.Taught[who, lastSlot]) part += Broken(PlanRule.OneClassAtATime);
        if (at != PlanUse.Nowhere && at != site) part += Broken(PlanRule.OneSiteADay);
        if (at == PlanUse.Nowhere && use.DaysTaught[who, season.Week(day)] >= instructor.DaysAWeek) part += Broken(PlanRule.DaysAWeek);
        if (TooFar(who, day - 1, site, evening: true) || TooFar(who, day + 1, site, evening: false))
            part += Broken(PlanRule.OvernightTravel);
        return part;
    }

    private bool TooFar(int who, int day, int site, bool evening) =>
        day >= 0 && day < season.Days && use.SiteOn[who, day] is not PlanUse.Nowhere and var other
        && (evening ? season.TravelMinutes[other][site] : season.TravelMinutes[site][other]) > season.Terms.OvernightMinutes;

    // Strain says which of two placements that break the same rules breaks them less: 1 for each session that breaks a rule of
    // yes or no, and so much more for what is missing. Only the order counts. Our choice, no source.
    private const double FavouriteStrain = 0.001;
    private const double TravelStrain = 0.00001;
    private const double NeverStrain = 100;

    private static Part Broken(PlanRule rule, double more = 0) => new(RuleSet.Bit(rule), 1 + more);

    private readonly record struct Part(int Bits, double Strain)
    {
        public static Part operator +(Part a, Part b) => new(a.Bits | b.Bits, a.Strain + b.Strain);
    }

    private sealed record Teacher(int Instructor, Part Part);

    private sealed record SessionWays(int Slot, Part Part, List<Teacher> Teachers);

    private sealed record Pair(SessionWays Pour, SessionWays Machine, Part Part);
}
