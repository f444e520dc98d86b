using Pourwright.Planning.Season;
using Pourwright.Studio.Sites;

namespace Pourwright.Studio.Plans;

/// <summary>Which bench holds the pieces of which class: a plan knows the places of a site alone.</summary>
/// <remarks>
/// By their pour, each class on the bench that it fills best, and over several where none has room for all. Pieces need one place
/// each and lie for days on end, so that, benches being in use, whoever goes by the pour never lacks a place that the site has.
/// </remarks>
public static class LayOut
{
    /// <summary>The shares of each class of a plan, the largest first.</summary>
    public static IReadOnlyDictionary<int, IReadOnlyList<BenchShare>> Decide(PlannedSeason season, ClassPlan plan)
    {
        var shares = new Dictionary<int, IReadOnlyList<BenchShare>>();
        foreach (var site in plan.Placed.GroupBy(p => p.Site))
        {
            Lane[] lanes = [.. season.Facts.Benches.Where(bench => bench.Bench.Site == season.Facts.Sites[site.Key].Name)
                .Select(bench => new Lane(bench.Bench, season.Days[site.Key], season.Case.Days))];
            foreach (var p in site.OrderBy(p => p.Pour.Slot).ThenBy(p => p.Class)) shares[p.Class] = Lay(lanes, p, season.Case.Classes[p.Class].Pieces);
        }
        return shares;
    }

    private static List<BenchShare> Lay(Lane[] lanes, Placement p, int pieces)
    {
        if (lanes.Length == 0) return [];
        var whole = lanes.Where(lane => lane.Free(p) >= pieces).MinBy(lane => lane.Free(p));
        if (whole is not null) return [whole.Take(p, pieces)];
        List<BenchShare> shares = [];
        foreach (var lane in lanes.OrderByDescending(lane => lane.Free(p)))
        {
            var part = Math.Min(pieces, Math.Max(0, lane.Free(p)));
            if (part > 0) shares.Add(lane.Take(p, part));
            pieces -= part;
        }
        // A bench that is out of use on some days: what is left lies where it can be moved from.
        if (pieces > 0) shares.Add(lanes[0].Take(p, pieces));
        return shares;
    }

    private sealed class Lane(BenchRecord bench, SiteDays site, int days)
    {
        private readonly int[] _free = [.. Enumerable.Range(0, days).Select(day => site.Places(bench, day))];

        public int Free(Placement p) => Enumerable.Range(p.Pour.Day, p.Machine.Day - p.Pour.Day + 1).Min(day => _free[day]);

        public BenchShare Take(Placement p, int pieces)
        {
            for (var day = p.Pour.Day; day <= p.Machine.Day; day++) _free[day] -= pieces;
            return new(bench.Name, pieces);
        }
    }
}
