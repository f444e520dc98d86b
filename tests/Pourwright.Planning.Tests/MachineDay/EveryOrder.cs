using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>The least makespan of a small shop, by trying every order of starts and every choice of stage.</summary>
/// <remarks>
/// Any schedule, its operations taken in the order of their starts and each put at the place of its stage that is free first, ends
/// no later: so the best of all these orders is the optimum.
/// </remarks>
internal static class EveryOrder
{
    public static int LeastMinutes(ShopCase shop) => Least(
        shop, new int[shop.Jobs.Count], [.. shop.Jobs.Select(j => j.ReleaseMinutes)], [.. shop.Stages.Select(s => new int[s.Places])], 0);

    private static int Least(ShopCase shop, int[] next, int[] ready, int[][] free, int end)
    {
        var open = Enumerable.Range(0, next.Length).Where(j => next[j] < shop.Jobs[j].Operations.Count).ToArray();
        return open.Length == 0 ? end : open.Min(j => shop.Jobs[j].Operations[next[j]].Choices.Min(c => Start(shop, j, c, next, ready, free, end)));
    }

    private static int Start(ShopCase shop, int job, ShopChoice choice, int[] next, int[] ready, int[][] free, int end)
    {
        var place = Array.IndexOf(free[choice.Stage], free[choice.Stage].Min());
        var done = Math.Max(ready[job], free[choice.Stage][place]) + choice.Minutes;
        int[][] taken = [.. free.Select(places => places.ToArray())];
        taken[choice.Stage][place] = done;
        return Least(shop, With(next, job, next[job] + 1), With(ready, job, done), taken, Math.Max(end, done));
    }

    private static int[] With(int[] values, int at, int value) => [.. values.Select((v, i) => i == at ? value : v)];
}
