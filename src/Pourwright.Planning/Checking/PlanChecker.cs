using Pourwright.Planning.Season;

namespace Pourwright.Planning.Checking;

/// <summary>Holds a plan against every rule of its season: counts all anew and shares no code with what makes plans.</summary>
public static class PlanChecker
{
    // Sums of hours in floating point; a millionth of an hour is 4 ms.
    private const double Tolerance = 1e-6;

    /// <summary>Every rule broken; none where the plan can be held.</summary>
    public static IReadOnlyList<PlanFault> Check(SeasonCase season, ClassPlan plan)
    {
        var known = plan.Placed.Where(p => UnknownIn(season, p) is null).ToArray();
        return
        [
            .. plan.Placed.Select(p => UnknownIn(season, p)).OfType<PlanFault>(),
            .. Twice(known),
            .. known.SelectMany(p => Days(season, p)),
            .. known.SelectMany(p => Cure(season, p)),
            .. known.SelectMany(p => Finish(season, p)),
            .. Benches(season, known),
            .. Machines(season, known),
            .. Rooms(season, known),
            .. known.SelectMany(p => People(season, p)),
            .. Diaries(season, known),
        ];
    }

    private static PlanFault? UnknownIn(SeasonCase season, Placement p)
    {
        PlanFault Fault(double value, double limit) => new(PlanRule.KnownIndexes, [p.Class], null, null, null, value, limit);
        if (p.Class < 0 || p.Class >= season.Classes.Count) return Fault(p.Class, season.Classes.Count - 1);
        if (p.Site < 0 || p.Site >= season.Sites.Count) return Fault(p.Site, season.Sites.Count - 1);
        foreach (var session in p.Sessions)
        {
            if (session.Slot < 0 || session.Day >= season.Days) return Fault(session.Slot, 2 * season.Days - 1);
            if (session.Instructor < 0 || session.Instructor >= season.Instructors.Count)
                return Fault(session.Instructor, season.Instructors.Count - 1);
        }
        return p.Machine.Slot % 2 == 0 ? null : Fault(p.Machine.Slot, p.Machine.Slot - 1);
    }

    private static IEnumerable<PlanFault> Twice(Placement[] placed) => placed.GroupBy(p => p.Class).Where(group => group.Count() > 1)
        .Select(group => new PlanFault(PlanRule.ClassOnce, [group.Key], null, null, null, group.Count(), 1));

    private static IEnumerable<PlanFault> Days(SeasonCase season, Placement p)
    {
        var request = season.Classes[p.Class];
        if (!request.Sites.Contains(p.Site)) yield return At(p, PlanRule.SiteAllowed, null, p.Site, request.Sites.Count);
        if (p.Pour.Day < request.FirstDay) yield return At(p, PlanRule.PourWindow, p.Pour.Day, p.Pour.Day, request.FirstDay);
        if (p.Pour.Day > request.LastDay) yield return At(p, PlanRule.PourWindow, p.Pour.Day, p.Pour.Day, request.LastDay);
        foreach (var day in p.Sessions.Select(session => session.Day).Distinct())
        {
            if (!request.Weekdays.Contains(season.Weekday(day)))
                yield return At(p, PlanRule.Weekday, day, (int)season.Weekday(day), request.Weekdays.Count);
            if (!season.Sites[p.Site].Days[day].Open) yield return At(p, PlanRule.SiteOpen, day, 0, 1);
        }
    }

    private static IEnumerable<PlanFault> Cure(SeasonCase season, Placement p)
    {
        var (request, site) = (season.Classes[p.Class], season.Sites[p.Site]);
        var gap = site.SlotStartHours[p.Machine.Slot] - site.SlotEndHours[p.Pour.Slot];
        var least = season.Cure.LeastHours(request.Offering, p.Site, p.Pour.Slot, request.Pieces) ?? double.PositiveInfinity;
        if (gap < least - Tolerance) yield return At(p, PlanRule.LeastGap, p.Machine.Day, gap, least);
        var chance = gap < 0 ? 0 : season.Cure.ChanceAllReady(request.Offering, p.Site, p.Pour.Slot, request.Pieces, gap);
        if (!(chance >= season.Terms.ChanceAllReady - Tolerance))
            yield return At(p, PlanRule.ChanceAllReady, p.Machine.Day, chance, season.Terms.ChanceAllReady);
        var longest = season.Offerings[request.Offering].LongestGapDays;
        if (p.Machine.Day - p.Pour.Day > longest) yield return At(p, PlanRule.LongestGap, p.Machine.Day, p.Machine.Day - p.Pour.Day, longest);
    }

    private static IEnumerable<PlanFault> Finish(SeasonCase season, Placement p)
    {
        var rule = season.Offerings[season.Classes[p.Class].Offering].Finish;
        if (rule is null != p.Finish is null) yield return At(p, PlanRule.FinishAsOffered, p.Finish?.Day, p.Finish is null ? 0 : 1, rule is null ? 0 : 1);
        if (rule is null || p.Finish is null) yield break;
        var site = season.Sites[p.Site];
        var hours = site.SlotStartHours[p.Finish.Slot] - site.SlotEndHours[p.Machine.Slot + 1];
        if (hours < rule.AfterHours - Tolerance) yield return At(p, PlanRule.FinishNotBefore, p.Finish.Day, hours, rule.AfterHours);
        if (p.Finish.Day - p.Machine.Day > rule.WithinDays)
            yield return At(p, PlanRule.FinishWithin, p.Finish.Day, p.Finish.Day - p.Machine.Day, rule.WithinDays);
    }

    private static IEnumerable<PlanFault> Benches(SeasonCase season, Placement[] placed) => placed
        .SelectMany(p => Enumerable.Range(p.Pour.Day, Math.Max(0, p.Machine.Day - p.Pour.Day + 1)).Select(day => (p.Site, day, p)))
        .GroupBy(lying => (lying.Site, lying.day), lying => lying.p)
        .SelectMany(group => Over(PlanRule.BenchPlaces, group.Key.Site, group.Key.day, group, p => season.Classes[p.Class].Pieces,
            season.Sites[group.Key.Site].Days[group.Key.day].BenchPlaces));

    private static IEnumerable<PlanFault> Machines(SeasonCase season, Placement[] placed) => placed
        .GroupBy(p => (p.Site, p.Machine.Day))
        .SelectMany(group =>
        {
            var (site, day) = group.Key;
            var has = season.Sites[site].Days[day];
            Offering Taught(Placement p) => season.Offerings[season.Classes[p.Class].Offering];
            int Pieces(Placement p) => season.Classes[p.Class].Pieces;
            return new[]
            {
                Over(PlanRule.PlanerMinutes, site, day, group, p => Pieces(p) * Taught(p).PlanerMinutesPerPiece, has.PlanerMinutes),
                Over(PlanRule.SawMinutes, site, day, group, p => Pieces(p) * Taught(p).SawMinutesPerPiece, has.SawMinutes),
                Over(PlanRule.SandingPlaces, site, day, group, p => season.Classes[p.Class].Students, has.SandingPlaces),
            }.SelectMany(faults => faults);
        });

    // For every room: the classes that fit into none smaller are at most as many as the rooms from this one up.
    private static IEnumerable<PlanFault> Rooms(SeasonCase season, Placement[] placed) => placed
        .SelectMany(p => p.HalfDays.Select(half => (p.Site, half.Slot, p)))
        .GroupBy(use => (use.Site, use.Slot), use => use.p)
        .SelectMany(group =>
        {
            int[] seats = [.. season.Sites[group.Key.Site].RoomSeats.Order()];
            return Enumerable.Range(0, seats.Length + 1).SelectMany(room => Over(PlanRule.Rooms, group.Key.Site, group.Key.Slot / 2,
                group.Where(p => room == 0 || season.Classes[p.Class].Students > seats[room - 1]), _ => 1, seats.Length - room));
        });

    private static IEnumerable<PlanFault> People(SeasonCase season, Placement p)
    {
        foreach (var (slot, instructor) in p.Sessions)
        {
            var (who, offering, day) = (season.Instructors[instructor], season.Classes[p.Class].Offering, slot / 2);
            if (!who.Offerings.Contains(offering)) yield return At(p, PlanRule.Qualified, day, offering, who.Offerings.Count, instructor);
            if (!who.Available[day]) yield return At(p, PlanRule.Available, day, 0, 1, instructor);
            var minutes = season.TravelMinutes[who.HomeSite][p.Site];
            if (minutes > who.FarthestMinutes) yield return At(p, PlanRule.FarthestTravel, day, minutes, who.FarthestMinutes, instructor);
        }
    }

    private static IEnumerable<PlanFault> Diaries(SeasonCase season, Placement[] placed) => placed
        .SelectMany(p => p.HalfDays.Select(half => new DiaryLine(half.Instructor, half.Slot, p)))
        .GroupBy(line => line.Instructor)
        .SelectMany(diary => Clashes(diary).Concat(TwoSites(diary)).Concat(Weeks(season, diary)).Concat(Nights(season, diary)));

    private static IEnumerable<PlanFault> Clashes(IGrouping<int, DiaryLine> diary) => diary.GroupBy(line => line.Slot)
        .Where(slot => slot.Count() > 1)
        .Select(slot => new PlanFault(
            PlanRule.OneClassAtATime, Classes(slot), slot.First().Site, slot.Key / 2, diary.Key, slot.Count(), 1));

    private static IEnumerable<PlanFault> TwoSites(IGrouping<int, DiaryLine> diary) => diary.GroupBy(line => line.Day)
        .Select(day => (day.Key, Classes: Classes(day), Sites: day.Select(line => line.Site).Distinct().ToArray()))
        .Where(day => day.Sites.Length > 1)
        .Select(day => new PlanFault(PlanRule.OneSiteADay, day.Classes, day.Sites[0], day.Key, diary.Key, day.Sites.Length, 1));

    private static IEnumerable<PlanFault> Weeks(SeasonCase season, IGrouping<int, DiaryLine> diary) => diary.GroupBy(line => season.Week(line.Day))
        .Select(week => (Classes: Classes(week), Days: week.Select(line => line.Day).Distinct().Order().ToArray()))
        .Where(week => week.Days.Length > season.Instructors[diary.Key].DaysAWeek)
        .Select(week => new PlanFault(PlanRule.DaysAWeek, week.Classes, null, week.Days[0], diary.Key, week.Days.Length,
            season.Instructors[diary.Key].DaysAWeek));

    private static IEnumerable<PlanFault> Nights(SeasonCase season, IGrouping<int, DiaryLine> diary) =>
        from evening in diary
        from morning in diary.Where(line => line.Day == evening.Day + 1)
        let minutes = season.TravelMinutes[evening.Site][morning.Site]
        where minutes > season.Terms.OvernightMinutes
        group minutes by (evening.Day, From: evening.Placement, To: morning.Placement) into night
        select new PlanFault(PlanRule.OvernightTravel, [night.Key.From.Class, night.Key.To.Class], night.Key.To.Site, night.Key.Day + 1,
            diary.Key, night.First(), season.Terms.OvernightMinutes);

    private static IEnumerable<PlanFault> Over(
        PlanRule rule, int site, int day, IEnumerable<Placement> placed, Func<Placement, int> uses, int limit)
    {
        var all = placed.ToArray();
        var sum = all.Sum(uses);
        return sum > limit ? [new(rule, [.. all.Select(p => p.Class)], site, day, null, sum, limit)] : [];
    }

    private static PlanFault At(Placement p, PlanRule rule, int? day, double value, double limit, int? instructor = null) =>
        new(rule, [p.Class], p.Site, day, instructor, value, limit);

    private static int[] Classes(IEnumerable<DiaryLine> lines) => [.. lines.Select(line => line.Placement.Class).Distinct()];

    private sealed record DiaryLine(int Instructor, int Slot, Placement Placement)
    {
        public int Day => Slot / 2;

        public int Site => Placement.Site;
    }
}
