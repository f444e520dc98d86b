using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>Parts of a season that share neither sites nor people: each can be solved apart, and so can its bound.</summary>
internal static class SeasonParts
{
    /// <summary>Classes of each part, in order; a class that no site can hold belongs to none.</summary>
    public static int[][] Of(SeasonCase season, ClassWays[] ways)
    {
        var root = Enumerable.Range(0, season.Sites.Count + season.Instructors.Count).ToArray();
        foreach (var @class in ways)
            foreach (var at in @class.Sites)
            {
                Join(root, @class.Sites[0].Site, at.Site);
                foreach (var who in at.Instructors) Join(root, at.Site, season.Sites.Count + who);
            }
        return [.. ways.Where(@class => @class.Sites.Length > 0).GroupBy(@class => Root(root, @class.Sites[0].Site)).OrderBy(part => part.Key)
            .Select(part => part.Select(@class => @class.Class).ToArray())];
    }

    private static void Join(int[] root, int one, int other) => root[Root(root, other)] = Root(root, one);

    private static int Root(int[] root, int at) => root[at] == at ? at : root[at] = Root(root, root[at]);
}
