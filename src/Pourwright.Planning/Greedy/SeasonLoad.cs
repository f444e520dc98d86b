using Pourwright.Planning.Season;

namespace Pourwright.Planning.Greedy;

/// <summary>What a plan leaves free of places, machines, rooms and people; classes come and go one by one.</summary>
internal sealed class SeasonLoad
{
    private const int Nobody = -1;

    private readonly SeasonCase season;
    private readonly ClassWays[] ways;
    private readonly int days, weeks, sites;
    private readonly int[] bench, planer, saw, sanding; // [site, day]
    private readonly int[] weekOf;
    private readonly int[][] rooms;                     // [site][slot, rank]: classes of this rank or above that still fit
    private readonly int[] roomCount;
    private readonly bool[] taught;                     // [instructor, slot]
    private readonly int[] siteOf, halfDays;            // [instructor, day]
    private readonly int[] daysLeft;                    // [instructor, week]
    private readonly bool[] available, tooFar;
    private readonly Needs[] needs;
    private readonly Placement?[] placed;

    public SeasonLoad(SeasonCase season, ClassWays[] ways)
    {
        (this.season, this.ways) = (season, ways);
        (days, weeks, sites) = (season.Days, season.Week(season.Days - 1) + 1, season.Sites.Count);
        int[] Each(Func<SiteDay, int> what) => [.. season.Sites.SelectMany(site => site.Days.Take(days).Select(what))];
        (bench, planer, saw, sanding) = (Each(d => d.BenchPlaces), Each(d => d.PlanerMinutes), Each(d => d.SawMinutes), Each(d => d.SandingPlaces));
        weekOf = [.. Enumerable.Range(0, days).Select(season.Week)];
        roomCount = [.. season.Sites.Select(site => site.RoomSeats.Count)];
        rooms = [.. roomCount.Select(count => Enumerable.Range(0, 2 * days * count).Select(at => count - at % count).ToArray())];
        taught = new bool[season.Instructors.Count * 2 * days];
        siteOf = [.. Enumerable.Repeat(Nobody, season.Instructors.Count * days)];
        halfDays = new int[season.Instructors.Count * days];
        daysLeft = [.. season.Instructors.SelectMany(i => Enumerable.Repeat(i.DaysAWeek, weeks))];
        available = [.. season.Instructors.SelectMany(i => i.Available.Take(days))];
        tooFar = [.. season.TravelMinutes.SelectMany(from => from.Take(sites).Select(minutes => minutes > season.Terms.OvernightMinutes))];
        needs = [.. season.Classes.Select(request => Needs.Of(season, request))];
        placed = new Placement?[season.Classes.Count];
    }

    private sealed record Needs(int Students, int Pieces, int PlanerMinutes, int SawMinutes, int[] RoomRank)
    {
        public static Needs Of(SeasonCase season, ClassRequest request) => new(
            request.Students, request.Pieces, request.Pieces * season.Offerings[request.Offering].PlanerMinutesPerPiece,
            request.Pieces * season.Offerings[request.Offering].SawMinutesPerPiece,
            [.. season.Sites.Select(site => site.RoomSeats.Count(seats => seats < request.Students))]);
    }

    public int Students { get; private set; }

    public int Points { get; private set; }

    public int Held { get; private set; }

    public Placement? Of(int @class) => placed[@class];

    public ClassPlan Plan() => new([.. placed.OfType<Placement>()]);

    public void Add(Placement p)
    {
        if (placed[p.Class] is not null) throw new InvalidOperationException($"class {p.Class} is held already: take it out first");
        placed[p.Class] = p;
        Count(p, 1);
    }

    public Placement Remove(int @class)
    {
        var p = placed[@class] ?? throw new InvalidOperationException($"class {@class} is not held, so it cannot be taken out");
        placed[@class] = null;
        Count(p, -1);
        return p;
    }

    public bool RoomFree(SiteWays at, int slot)
    {
        var (room, free) = (slot * roomCount[at.Site], rooms[at.Site]);
        for (var rank = 0; rank <= at.RoomRank; rank++)
            if (free[room + rank] <= 0) return false;
        return true;
    }

    public bool BenchFree(SiteWays at, int day) => bench[at.Site * days + day] >= at.Pieces;

    public bool MachinesFree(SiteWays at, int day) => at.Site * days + day is var here
        && planer[here] >= at.PlanerMinutes && saw[here] >= at.SawMinutes && sanding[here] >= at.Students;

    public int BenchLeft(int site, int day) => bench[site * days + day];

    public int PlanerLeft(int site, int day) => planer[site * days + day];

    public int SawLeft(int site, int day) => saw[site * days + day];

    public int SandingLeft(int site, int day) => sanding[site * days + day];

    /// <summary>How many more classes that need a room past the first <paramref name="rank"/> ones the slot takes.</summary>
    public int RoomsLeft(int site, int slot, int rank) => rooms[site][slot * roomCount[site] + rank];

    public int DaysLeft(int instructor, int day) => daysLeft[instructor * weeks + weekOf[day]];

    public bool SameWeek(int day, int other) => weekOf[day] == weekOf[other];

    /// <summary>Whether the instructor teaches already on that day.</summary>
    public bool Teaches(int instructor, int day) => halfDays[instructor * days + day] > 0;

    /// <summary>Those of the site's instructors, as bits, who could take a session that fills these slots of one day.</summary>
    public ulong Free(SiteWays at, int firstSlot, int lastSlot)
    {
        var free = 0UL;
        for (var k = 0; k < at.Instructors.Length; k++)
            if (MayTeach(at.Instructors[k], at.Site, firstSlot, lastSlot)) free |= 1UL << k;
        return free;
    }

    public bool MayTeach(int instructor, int site, int firstSlot, int lastSlot)
    {
        var day = firstSlot / 2;
        var here = instructor * days + day;
        if (!available[here] || taught[2 * instructor * days + firstSlot] || taught[2 * instructor * days + lastSlot]) return false;
        if (halfDays[here] > 0) return siteOf[here] == site;
        return daysLeft[instructor * weeks + weekOf[day]] > 0
            && !(day > 0 && Far(siteOf[here - 1], site)) && !(day + 1 < days && Far(site, siteOf[here + 1]));
    }

    private bool Far(int from, int to) => from != Nobody && to != Nobody && tooFar[from * sites + to];

    private void Count(Placement p, int sign)
    {
        var need = needs[p.Class];
        Held += sign;
        Students += sign * need.Students;
        Points += sign * (ways[p.Class].PointsOf(p) + Substitutes(p) * season.Terms.SubstitutePoints);
        for (var day = p.Pour.Day; day <= p.Machine.Day; day++) bench[p.Site * days + day] -= sign * need.Pieces;
        var machines = p.Site * days + p.Machine.Day;
        planer[machines] -= sign * need.PlanerMinutes;
        saw[machines] -= sign * need.SawMinutes;
        sanding[machines] -= sign * need.Students;
        var rank = need.RoomRank[p.Site];
        Count(p.Site, rank, p.Pour, p.Pour.Slot, sign);
        Count(p.Site, rank, p.Machine, p.Machine.Slot, sign);
        Count(p.Site, rank, p.Machine, p.Machine.Slot + 1, sign);
        if (p.Finish is not null) Count(p.Site, rank, p.Finish, p.Finish.Slot, sign);
    }

    private static int Substitutes(Placement p) =>
        (p.Machine.Instructor != p.Pour.Instructor ? 1 : 0) + (p.Finish is { } f && f.Instructor != p.Pour.Instructor ? 1 : 0);

    private void Count(int site, int roomRank, Attendance session, int slot, int sign)
    {
        for (var rank = 0; rank <= roomRank && rank < roomCount[site]; rank++) rooms[site][slot * roomCount[site] + rank] -= sign;
        var (who, day) = (session.Instructor, session.Day);
        var here = who * days + day;
        taught[2 * who * days + slot] = sign > 0;
        var before = halfDays[here];
        halfDays[here] = before + sign;
        if (before > 0 && halfDays[here] > 0) return;
        siteOf[here] = sign > 0 ? site : Nobody;
        daysLeft[who * weeks + weekOf[day]] -= sign;
        Points += sign * PlanPoints.TravelOf(season, who, site);
    }
}
