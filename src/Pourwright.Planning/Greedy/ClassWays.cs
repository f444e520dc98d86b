using Pourwright.Planning.Season;

namespace Pourwright.Planning.Greedy;

/// <summary>Every way in which one class could be held if nothing else were; found when first asked for.</summary>
internal sealed class ClassWays
{
    private readonly SeasonCase season;
    private readonly Lazy<SiteWays[]> sites;

    private ClassWays(SeasonCase season, int @class, Func<SiteWays[]> sites)
    {
        (this.season, Class, this.sites) = (season, @class, new(sites));
        (Request, Offering) = (season.Classes[@class], season.Offerings[season.Classes[@class].Offering]);
    }

    public int Class { get; }

    public ClassRequest Request { get; }

    public Offering Offering { get; }

    public SiteWays[] Sites => sites.Value;

    /// <summary>Pairs of pour and machine day.</summary>
    public int Count => Sites.Sum(site => site.Pours.Sum(pour => pour.RiskPoints.Length));

    /// <summary>One a class of the season.</summary>
    public static ClassWays[] Of(SeasonCase season) => [.. Enumerable.Range(0, season.Classes.Count).Select(c => new ClassWays(season, c,
        () => [.. season.Classes[c].Sites.Distinct().Select(site => SiteWays.Of(season, c, site)).Where(site => site.Pours.Length > 0)]))];

    /// <summary>Those of the ways whose pour, by site and slot, is allowed.</summary>
    public ClassWays Only(Func<int, int, bool> allows) => new(season, Class,
        () => [.. Sites.Select(site => site.Only(slot => allows(site.Site, slot))).Where(site => site.Pours.Length > 0)]);

    /// <summary>Points of risk and preference.</summary>
    public int PointsOf(Placement p)
    {
        if (sites.IsValueCreated)
            foreach (var site in Sites)
                if (site.Site == p.Site && site.PointsOf(p) is { } points) return points;
        return PlanPoints.RiskOf(season, Class, p.Site, p.Pour.Slot, p.Machine.Day) + PlanPoints.PreferenceOf(season, Class, p.Site, p.Pour.Day);
    }
}

/// <summary>A pour slot, and the machine days that it leads to.</summary>
/// <param name="Slot">Of the season.</param>
/// <param name="Points">For another week, weekday or site than the favourite one.</param>
/// <param name="FirstMachine">Index of the first machine day of the site's list.</param>
/// <param name="RiskPoints">Of this machine day and those after it in the list.</param>
internal sealed record PourWay(int Slot, int Points, int FirstMachine, int[] RiskPoints)
{
    public int Day => Slot / 2;
}

/// <summary>A machine day, and which of the site's finish slots may follow it: from one index to before another.</summary>
internal sealed record MachineWay(int Day, int FirstFinish, int EndFinish);

/// <summary>Every way in which one class could be held at one site if nothing else were.</summary>
internal sealed class SiteWays
{
    /// <summary>So many instructors, the nearest, are looked at for one class: a mask of them is one machine word.</summary>
    public const int MostInstructors = 64;

    private SiteWays(SeasonCase season, int @class, int site)
    {
        var request = season.Classes[@class];
        var offering = season.Offerings[request.Offering];
        Site = site;
        (Students, Pieces) = (request.Students, request.Pieces);
        (PlanerMinutes, SawMinutes) = (Pieces * offering.PlanerMinutesPerPiece, Pieces * offering.SawMinutesPerPiece);
        RoomRank = season.Sites[site].RoomSeats.Count(seats => seats < Students);
        Instructors = [.. Enumerable.Range(0, season.Instructors.Count)
            .Where(i => season.Instructors[i].Offerings.Contains(request.Offering) && season.Instructors[i].DaysAWeek > 0
                && season.TravelMinutes[season.Instructors[i].HomeSite][site] <= season.Instructors[i].FarthestMinutes)
            .OrderBy(i => season.TravelMinutes[season.Instructors[i].HomeSite][site]).ThenBy(i => i).Take(MostInstructors)];
        Travel = [.. Instructors.Select(i => PlanPoints.TravelOf(season, i, site))];
    }

    public int Site { get; }

    public int Students { get; }

    public int Pieces { get; }

    public int PlanerMinutes { get; }

    public int SawMinutes { get; }

    /// <summary>How many rooms of the site are too small.</summary>
    public int RoomRank { get; }

    /// <summary>Who is qualified and near enough, nearest first.</summary>
    public int[] Instructors { get; }

    /// <summary>Points of a day of each of them here.</summary>
    public int[] Travel { get; }

    public PourWay[] Pours { get; private set; } = [];

    public MachineWay[] Machines { get; private set; } = [];

    /// <summary>Empty where the offering has no finish.</summary>
    public int[] Finishes { get; private set; } = [];

    public static SiteWays Of(SeasonCase season, int @class, int site)
    {
        var ways = new SiteWays(season, @class, site);
        if (ways.RoomRank == season.Sites[site].RoomSeats.Count) return ways;
        var (request, offering) = (season.Classes[@class], season.Offerings[season.Classes[@class].Offering]);
        var last = Math.Min(season.Days - 1, request.LastDay + offering.LongestGapDays);
        int[] machineDays = [.. Range(Math.Max(0, request.FirstDay), last).Where(day => ways.MayTeach(season, request, day) && ways.FitsMachines(season, day))];
        if (offering.Finish is { } rule) ways.AddFinishes(season, request, rule, machineDays);
        else ways.Machines = [.. machineDays.Select(day => new MachineWay(day, 0, 0))];
        ways.Pours = [.. Range(Math.Max(0, request.FirstDay), Math.Min(season.Days - 1, request.LastDay))
            .Where(day => ways.MayTeach(season, request, day))
            .SelectMany(day => new[] { 2 * day, 2 * day + 1 })
            .Select(slot => ways.Pour(season, @class, slot)).OfType<PourWay>()];
        return ways;
    }

    public SiteWays Only(Func<int, bool> allows)
    {
        var some = (SiteWays)MemberwiseClone();
        some.Pours = [.. Pours.Where(pour => allows(pour.Slot))];
        return some;
    }

    public int? PointsOf(Placement p)
    {
        foreach (var pour in Pours)
            if (pour.Slot == p.Pour.Slot)
                for (var k = 0; k < pour.RiskPoints.Length; k++)
                    if (Machines[pour.FirstMachine + k].Day == p.Machine.Day) return pour.Points + pour.RiskPoints[k];
        return null;
    }

    /// <summary>What the pour leads to; the machine days are neighbours in the list, since every rule bounds them from one side.</summary>
    private PourWay? Pour(SeasonCase season, int @class, int slot)
    {
        var (request, place) = (season.Classes[@class], season.Sites[Site]);
        if (season.Cure.LeastHours(request.Offering, Site, slot, request.Pieces) is not { } least) return null;
        double Gap(int machine) => place.SlotStartHours[2 * Machines[machine].Day] - place.SlotEndHours[slot];
        var until = Math.Min(slot / 2 + season.Offerings[request.Offering].LongestGapDays, BenchUntil(season, slot / 2));
        int[] machines = [.. Enumerable.Range(0, Machines.Length)
            .Where(machine => Machines[machine].Day <= until && Gap(machine) >= Math.Max(0, least))
            .SkipWhile(machine => season.Cure.ChanceAllReady(request.Offering, Site, slot, request.Pieces, Gap(machine)) < season.Terms.ChanceAllReady)];
        return machines.Length == 0 ? null : new(slot, PlanPoints.PreferenceOf(season, @class, Site, slot / 2), machines[0],
            [.. machines.Select(machine => PlanPoints.RiskOf(season.Terms, Gap(machine) - least))]);
    }

    private void AddFinishes(SeasonCase season, ClassRequest request, FinishRule rule, int[] machineDays)
    {
        var place = season.Sites[Site];
        if (machineDays.Length == 0) return;
        Finishes = [.. Range(machineDays[0] + 1, Math.Min(season.Days - 1, machineDays[^1] + rule.WithinDays))
            .Where(day => MayTeach(season, request, day)).SelectMany(day => new[] { 2 * day, 2 * day + 1 })];
        Machines = [.. machineDays.Select(day => new MachineWay(day,
            Finishes.Count(slot => place.SlotStartHours[slot] - place.SlotEndHours[2 * day + 1] < Math.Max(0, rule.AfterHours)),
            Finishes.Count(slot => slot / 2 - day <= rule.WithinDays))).Where(way => way.FirstFinish < way.EndFinish)];
    }

    private bool MayTeach(SeasonCase season, ClassRequest request, int day) =>
        season.Sites[Site].Days[day].Open && request.Weekdays.Contains(season.Weekday(day)) && Instructors.Any(i => season.Instructors[i].Available[day]);

    private bool FitsMachines(SeasonCase season, int day) => season.Sites[Site].Days[day] is var has
        && has.PlanerMinutes >= PlanerMinutes && has.SawMinutes >= SawMinutes && has.SandingPlaces >= Students;

    private int BenchUntil(SeasonCase season, int day)
    {
        while (day < season.Days && season.Sites[Site].Days[day].BenchPlaces >= Pieces) day++;
        return day - 1;
    }

    private static IEnumerable<int> Range(int first, int last) => Enumerable.Range(first, Math.Max(0, last - first + 1));
}
