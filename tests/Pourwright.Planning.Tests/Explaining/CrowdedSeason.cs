using Pourwright.Planning.CureGaps;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Explaining;

/// <summary>
/// Two sites an hour apart, four weeks from Monday 1 February 2027, one offering, and of two people one who may teach it.
/// </summary>
internal static class CrowdedSeason
{
    public const int Days = 28;
    public const int North = 0, South = 1;
    public const int Ada = 0, Ben = 1;

    public static readonly IReadOnlySet<DayOfWeek> AnyDay = new HashSet<DayOfWeek>(Enum.GetValues<DayOfWeek>());

    /// <summary>Class 0 is the one that is asked about; class 1 may be in its way.</summary>
    public static SeasonCase Unhindered { get; } = new()
    {
        FirstDay = new(2027, 2, 1),
        Days = Days,
        Sites = [Site("North"), Site("South")],
        Offerings = [new("board", 20, 10, 4, new(20, 3))],
        Instructors = [Person("Ada", North), Person("Ben", South) with { Offerings = new HashSet<int>() }],
        Classes = [Class("river"), Class("tray")],
        TravelMinutes = [[0, 60], [60, 0]],
        Cure = Cure(0),
    };

    public static ClassRequest Class(string id) => new(id, 0, 6, 6, [North], 7, 8, AnyDay, 7);

    /// <summary>Pour in a morning, finish in an afternoon, all by one person.</summary>
    public static Placement Placed(int @class, int site, int pourDay, int machineDay, int finishDay, int who = Ada) =>
        new(@class, site, new(2 * pourDay, who), new(2 * machineDay, who), new(2 * finishDay + 1, who));

    public static SeasonCase With(this SeasonCase season, int site, Func<SeasonSite, SeasonSite> change) => season with
    {
        Sites = [.. season.Sites.Select((s, at) => at == site ? change(s) : s)],
    };

    public static SeasonCase WithDays(this SeasonCase season, int site, Func<int, SiteDay, SiteDay> change) =>
        season.With(site, s => s with { Days = [.. s.Days.Select((day, at) => change(at, day))] });

    public static SeasonCase WithClass(this SeasonCase season, Func<ClassRequest, ClassRequest> change) =>
        season with { Classes = [change(season.Classes[0]), .. season.Classes.Skip(1)] };

    public static SeasonCase With(this SeasonCase season, int who, Func<Instructor, Instructor> change) => season with
    {
        Instructors = [.. season.Instructors.Select((i, at) => at == who ? change(i) : i)],
    };

    /// <summary>A nominal 30 h at the room as it is, a twentieth less for each K more, 10 % from pour to pour.</summary>
    public static ScenarioCureGaps<double> Cure(double kelvin) => new(
        (_, _, _) => kelvin, warmer => [new(1, 30 * Math.Pow(0.95, warmer), 0.1)], 0.95);

    private static SeasonSite Site(string id) => new(
        id, [8], [.. Enumerable.Repeat(new SiteDay(true, 12, 240, 240, 12), Days)],
        [.. Enumerable.Range(0, 2 * Days).Select(slot => 24.0 * (slot / 2) + (slot % 2 == 0 ? 9 : 14))],
        [.. Enumerable.Range(0, 2 * Days).Select(slot => 24.0 * (slot / 2) + (slot % 2 == 0 ? 13 : 18))]);

    private static Instructor Person(string id, int home) =>
        new(id, new HashSet<int> { 0 }, home, [.. Enumerable.Repeat(true, Days)], 5, 90);
}

/// <summary>A heating that may go so far.</summary>
internal sealed class Heating(double mostKelvin) : IWarming
{
    public double MostKelvin(int offering, int site, int pourSlot, int pieces) => mostKelvin;

    public ICureGaps Warmed(RoomWarming warming) => CrowdedSeason.Cure(warming.Kelvin);
}
