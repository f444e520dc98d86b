using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>What a plan takes of places, machines, rooms and people.</summary>
internal sealed class PlanUse
{
    public const int Nowhere = -1;

    private readonly SeasonCase season;
    private readonly int[][] rooms;

    public PlanUse(SeasonCase season, IEnumerable<Placement> placed)
    {
        this.season = season;
        var (sites, people) = (season.Sites.Count, season.Instructors.Count);
        (BenchPlaces, PlanerMinutes) = (new int[sites, season.Days], new int[sites, season.Days]);
        (SawMinutes, SandingPlaces) = (new int[sites, season.Days], new int[sites, season.Days]);
        rooms = [.. season.Sites.Select(site => new int[2 * season.Days * (site.RoomSeats.Count + 1)])];
        (Taught, SiteOn) = (new bool[people, 2 * season.Days], new int[people, season.Days]);
        DaysTaught = new int[people, season.Week(season.Days - 1) + 1];
        for (var at = 0; at < people * season.Days; at++)
            SiteOn[at / season.Days, at % season.Days] = Nowhere;
        foreach (var p in placed)
            Add(p);
    }

    /// <summary>[site, day], as those after it.</summary>
    public int[,] BenchPlaces { get; }

    public int[,] PlanerMinutes { get; }

    public int[,] SawMinutes { get; }

    public int[,] SandingPlaces { get; }

    /// <summary>[instructor, slot].</summary>
    public bool[,] Taught { get; }

    /// <summary>[instructor, day], <see cref="Nowhere"/> on a day off.</summary>
    public int[,] SiteOn { get; }

    /// <summary>[instructor, week].</summary>
    public int[,] DaysTaught { get; }

    /// <summary>Whether the slot has a room for a further class: for no size are there more classes than rooms left.</summary>
    public bool HasRoom(int site, int slot, int students)
    {
        var seats = season.Sites[site].RoomSeats;
        for (int rank = 0, last = Rank(site, students); rank <= last; rank++)
            if (rooms[site][slot * (seats.Count + 1) + rank] >= seats.Count - rank)
                return false;
        return true;
    }

    private void Add(Placement p)
    {
        var request = season.Classes[p.Class];
        var offering = season.Offerings[request.Offering];
        for (var day = p.Pour.Day; day <= p.Machine.Day; day++)
            BenchPlaces[p.Site, day] += request.Pieces;
        PlanerMinutes[p.Site, p.Machine.Day] += request.Pieces * offering.PlanerMinutesPerPiece;
        SawMinutes[p.Site, p.Machine.Day] += request.Pieces * offering.SawMinutesPerPiece;
        SandingPlaces[p.Site, p.Machine.Day] += request.Students;
        foreach (var (slot, instructor) in p.HalfDays)
            Add(p.Site, request.Students, slot, instructor);
    }

    private void Add(int site, int students, int slot, int instructor)
    {
        for (int rank = 0, last = Rank(site, students); rank <= last; rank++)
            rooms[site][slot * (season.Sites[site].RoomSeats.Count + 1) + rank]++;
        Taught[instructor, slot] = true;
        if (SiteOn[instructor, slot / 2] == Nowhere)
            DaysTaught[instructor, season.Week(slot / 2)]++;
        SiteOn[instructor, slot / 2] = site;
    }

    // Rooms that are too small for the class.
    private int Rank(int site, int students) => season.Sites[site].RoomSeats.Count(seats => seats < students);
}
