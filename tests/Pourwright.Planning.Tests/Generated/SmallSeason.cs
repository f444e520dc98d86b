using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Generated;

/// <summary>Two sites, two people and three classes with a plan by hand: every figure small enough to be followed in the head.</summary>
/// <remarks>
/// Mornings 9 to 13, afternoons 14 to 18, day 0 is a Monday. Everything is ready 20 h after its pour, with a chance of 0.96; before,
/// of 0.5. Site north has rooms for 8 and 10, south for 10; both 20 bench places, 360 min of planer and saw a day, 14 sanding places.
/// </remarks>
internal static class SmallSeason
{
    public static SeasonCase Season { get; } = new()
    {
        FirstDay = new(2027, 1, 4),
        Days = 14,
        Sites = [Site("north", [8, 10]), Site("south", [10])],
        Offerings = [new("board", 10, 5, 4, new(20, 5)), new("tray", 5, 20, 4, null)],
        Instructors =
        [
            new("anna", new HashSet<int> { 0, 1 }, 0, Always(true), 5, 100),
            new("bert", new HashSet<int> { 1 }, 1, Always(true), 3, 100),
        ],
        Classes = [Class("oak", 0, 8, [0]), Class("elm", 1, 6, [0, 1]), Class("ash", 1, 10, [1])],
        TravelMinutes = [[0, 90], [90, 0]],
        Cure = new SteadyCure(20),
    };

    /// <summary>Oak Monday, Wednesday, Friday in the north and elm Tuesday, Thursday there, both Anna's; ash Monday, Tuesday in the south by Bert.</summary>
    public static ClassPlan Plan { get; } = new(
    [
        new(0, 0, new(0, 0), new(4, 0), new(8, 0)),
        new(1, 0, new(2, 0), new(6, 0), null),
        new(2, 1, new(0, 1), new(2, 1), null),
    ]);

    public static SeasonSite Site(string id, int[] rooms) => new(id, rooms, [.. Enumerable.Repeat(new SiteDay(true, 20, 360, 360, 14), 14)],
        [.. Enumerable.Range(0, 28).Select(slot => 24.0 * (slot / 2) + (slot % 2 == 0 ? 9 : 14))],
        [.. Enumerable.Range(0, 28).Select(slot => 24.0 * (slot / 2) + (slot % 2 == 0 ? 13 : 18))]);

    public static bool[] Always(bool may) => [.. Enumerable.Repeat(may, 14)];

    private static ClassRequest Class(string id, int offering, int students, int[] sites) =>
        new(id, offering, students, students, sites, 0, 10, Enum.GetValues<DayOfWeek>().ToHashSet(), 0);
}

/// <summary>Ready after so many h everywhere: chance 0.96 from then on, 0.5 before.</summary>
internal sealed record SteadyCure(double Hours) : ICureGaps
{
    public double? LeastHours(int offering, int site, int pourSlot, int pieces) => Hours;

    public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours) => hours >= Hours ? 0.96 : 0.5;
}
