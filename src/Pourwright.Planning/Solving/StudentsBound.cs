using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

internal static class StudentsBound
{
    /// <summary>Students of the classes that could be held if nothing else were.</summary>
    public static int Alone(SeasonCase season, ClassWays[] ways, int[] classes)
    {
        var insertion = new Insertion(season, new(season, ways));
        return classes.Where(c => insertion.Cheapest(ways[c]) is not null).Sum(c => season.Classes[c].Students);
    }
}
