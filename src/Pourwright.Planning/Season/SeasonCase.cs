namespace Pourwright.Planning.Season;

/// <summary>What is to be planned: classes, and the places, people and days that may hold them.</summary>
/// <remarks>
/// Everything refers to everything else by its index in the lists here. Days are local days, counted from the first one of the
/// season, the same calendar date at every site; a slot is half a day: 2 × day for the morning, 2 × day + 1 for the afternoon.
/// </remarks>
public sealed record SeasonCase
{
    /// <summary>Day 0.</summary>
    public required DateOnly FirstDay { get; init; }

    /// <summary>Number of days.</summary>
    public required int Days { get; init; }

    public required IReadOnlyList<SeasonSite> Sites { get; init; }

    public required IReadOnlyList<Offering> Offerings { get; init; }

    public required IReadOnlyList<Instructor> Instructors { get; init; }

    public required IReadOnlyList<ClassRequest> Classes { get; init; }

    /// <summary>Door to door from site to site, in min: [from][to].</summary>
    public required IReadOnlyList<IReadOnlyList<int>> TravelMinutes { get; init; }

    /// <summary>What the resin needs.</summary>
    public required ICureGaps Cure { get; init; }

    public PlanTerms Terms { get; init; } = new();

    /// <summary>Weekday of a day.</summary>
    public DayOfWeek Weekday(int day) => FirstDay.AddDays(day).DayOfWeek;

    /// <summary>Week of a day, counted from Monday to Sunday; week 0 holds the first day.</summary>
    public int Week(int day) => (day + ((int)FirstDay.DayOfWeek + 6) % 7) / 7;
}

/// <summary>A site with what it can hold on each day of the season.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="RoomSeats">Seats of each teaching room; every session needs a room of its own with a seat for each student.</param>
/// <param name="Days">One a day of the season.</param>
/// <param name="SlotStartHours">
/// Start of each slot, in elapsed h from an instant that all sites share: clock changes are in here, so that a gap is a difference.
/// </param>
/// <param name="SlotEndHours">End of each slot, in the same h.</param>
public sealed record SeasonSite(
    string Id, IReadOnlyList<int> RoomSeats, IReadOnlyList<SiteDay> Days,
    IReadOnlyList<double> SlotStartHours, IReadOnlyList<double> SlotEndHours);

/// <summary>What a site has on one day; nothing where it is closed.</summary>
/// <param name="Open">Whether people may come in; pieces go on curing where not.</param>
/// <param name="BenchPlaces">Pieces that may lie and cure, also while closed.</param>
/// <param name="PlanerMinutes">Of all planers together.</param>
/// <param name="SawMinutes">Of all saws together.</param>
/// <param name="SandingPlaces">Students who may sand.</param>
public sealed record SiteDay(bool Open, int BenchPlaces, int PlanerMinutes, int SawMinutes, int SandingPlaces);

/// <summary>What is taught.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="PlanerMinutesPerPiece">On the machine day.</param>
/// <param name="SawMinutesPerPiece">On the machine day.</param>
/// <param name="LongestGapDays">Between pour and machine day at most.</param>
/// <param name="Finish">The third attendance; null where the machine day is the last.</param>
public sealed record Offering(
    string Id, int PlanerMinutesPerPiece, int SawMinutesPerPiece, int LongestGapDays, FinishRule? Finish);

/// <summary>When the finish may be laid on: that long after the end of the machine day, and not later than.</summary>
public sealed record FinishRule(double AfterHours, int WithinDays);

/// <summary>Who teaches.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="Offerings">What they may teach.</param>
/// <param name="HomeSite">Where travel is counted from.</param>
/// <param name="Available">One a day of the season.</param>
/// <param name="DaysAWeek">On which they teach at most, Monday to Sunday.</param>
/// <param name="FarthestMinutes">How far from home they go, one way.</param>
public sealed record Instructor(
    string Id, IReadOnlySet<int> Offerings, int HomeSite, IReadOnlyList<bool> Available, int DaysAWeek, int FarthestMinutes);

/// <summary>A class that people want.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="Offering">What is taught.</param>
/// <param name="Students">Seats.</param>
/// <param name="Pieces">How many cure.</param>
/// <param name="Sites">Where it may be held, the favourite first.</param>
/// <param name="FirstDay">Pour day not before.</param>
/// <param name="LastDay">Pour day not after.</param>
/// <param name="Weekdays">On which any of its sessions may lie.</param>
/// <param name="FavouriteDay">Pour day that suits best.</param>
public sealed record ClassRequest(
    string Id, int Offering, int Students, int Pieces, IReadOnlyList<int> Sites,
    int FirstDay, int LastDay, IReadOnlySet<DayOfWeek> Weekdays, int FavouriteDay);

/// <summary>What the cure model says of a whole class.</summary>
public interface ICureGaps
{
    /// <summary>
    /// Elapsed h from the end of the slot of the pour until all pieces are ready for the machines with the chance asked for; null
    /// where they never are in this room.
    /// </summary>
    double? LeastHours(int offering, int site, int pourSlot, int pieces);

    /// <summary>Chance, 0 to 1, that all pieces are ready that many elapsed h after the end of the slot of the pour.</summary>
    double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours);
}
