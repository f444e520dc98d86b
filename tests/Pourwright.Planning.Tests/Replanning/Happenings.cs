using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Replanning;

/// <summary>What may happen to a season, on days of it from one to another.</summary>
internal static class Happenings
{
    public static SeasonCase Away(this SeasonCase season, int who, int from, int to) => season with
    {
        Instructors =
        [
            .. season.Instructors.Select((i, at) => at != who ? i
                : i with { Available = [.. i.Available.Select((free, day) => free && (day < from || day > to))] }),
        ],
    };

    public static SeasonCase Closed(this SeasonCase season, int site, int from, int to) =>
        season.Days(site, from, to, day => day with { Open = false });

    public static SeasonCase PlanerDown(this SeasonCase season, int site, int from, int to) =>
        season.Days(site, from, to, day => day with { PlanerMinutes = 0 });

    /// <summary>Whatever is poured there then takes so many times as long.</summary>
    public static SeasonCase Cold(this SeasonCase season, int site, int from, int to, double times) =>
        season with { Cure = new Slower(season.Cure, (_, at, slot) => at == site && slot / 2 >= from && slot / 2 <= to ? times : 1) };

    /// <summary>No resin for it there until that day.</summary>
    public static SeasonCase LotOnHold(this SeasonCase season, int offering, int site, int until) => season with
    {
        Cure = new Slower(season.Cure, (what, at, slot) => what == offering && at == site && slot / 2 < until ? double.PositiveInfinity : 1),
    };

    private static SeasonCase Days(this SeasonCase season, int site, int from, int to, Func<SiteDay, SiteDay> change) => season with
    {
        Sites =
        [
            .. season.Sites.Select((s, at) => at != site ? s
                : s with { Days = [.. s.Days.Select((day, number) => number >= from && number <= to ? change(day) : day)] }),
        ],
    };

    private sealed class Slower(ICureGaps cure, Func<int, int, int, double> times) : ICureGaps
    {
        public double? LeastHours(int offering, int site, int pourSlot, int pieces) => times(offering, site, pourSlot) is var slower
            && double.IsFinite(slower) ? slower * cure.LeastHours(offering, site, pourSlot, pieces) : null;

        public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours) =>
            cure.ChanceAllReady(offering, site, pourSlot, pieces, hours / times(offering, site, pourSlot));
    }
}
