using System.Numerics;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Greedy;

/// <summary>Puts one class into what a plan leaves free, every other class staying as it is: all its ways are looked at.</summary>
internal sealed class Insertion(SeasonCase season, SeasonLoad load)
{
    // Also what 64 free people look like: then it is asked for each time anew, which costs time and nothing else.
    private const ulong Unknown = ulong.MaxValue;

    private readonly int substitutePoints = season.Terms.SubstitutePoints;
    private ulong[] machineFree = [], finishFree = [];
    private Found best;

    // Who teaches pour, machine day and finish, as indexes of the site's list.
    private readonly record struct Found(int Cost, SiteWays? At, int PourSlot, int MachineDay, int FinishSlot, int Pours, int Machines, int Finishes);

    /// <summary>Points charged for each day on which somebody begins to teach: keeps scarce people together.</summary>
    public int DayPoints { get; init; }

    /// <summary>Whether several people are looked at also where one alone could teach all sessions.</summary>
    public bool EveryTeam { get; init; }

    /// <summary>The cheapest way, the first of equals; null where there is none.</summary>
    /// <param name="ways">Of the class.</param>
    /// <param name="skips">Which pour slots to look away from; null looks at all.</param>
    public Placement? Cheapest(ClassWays ways, Func<bool>? skips = null)
    {
        best = new(int.MaxValue, null, 0, 0, 0, 0, 0, 0);
        foreach (var at in ways.Sites) Look(at, ways.Offering.Finish is not null, at.Pours, skips);
        return Placed(ways.Class);
    }

    /// <summary>The cheapest way of the first pour slot, in the order given, that has one.</summary>
    public Placement? First(ClassWays ways, IEnumerable<(SiteWays At, PourWay Pour)> inOrder)
    {
        best = new(int.MaxValue, null, 0, 0, 0, 0, 0, 0);
        foreach (var (at, pour) in inOrder)
        {
            Look(at, ways.Offering.Finish is not null, [pour], null);
            if (best.At is not null) break;
        }
        return Placed(ways.Class);
    }

    private Placement? Placed(int @class)
    {
        if (best.At is not { } at) return null;
        int Who(int index) => at.Instructors[index];
        return new(@class, at.Site, new(best.PourSlot, Who(best.Pours)), new(2 * best.MachineDay, Who(best.Machines)),
            best.FinishSlot < 0 ? null : new(best.FinishSlot, Who(best.Finishes)));
    }

    private void Look(SiteWays at, bool finishes, ReadOnlySpan<PourWay> pours, Func<bool>? skips)
    {
        Forget(ref machineFree, at.Machines.Length);
        Forget(ref finishFree, at.Finishes.Length);
        foreach (var pour in pours)
        {
            if (pour.Points >= best.Cost || skips?.Invoke() == true || !load.RoomFree(at, pour.Slot)) continue;
            var free = load.Free(at, pour.Slot, pour.Slot);
            if (free != 0) Look(at, finishes, pour, free);
        }
    }

    private void Look(SiteWays at, bool finishes, PourWay pour, ulong pourFree)
    {
        var held = pour.Day;
        for (var k = 0; k < pour.RiskPoints.Length; k++)
        {
            var machine = at.Machines[pour.FirstMachine + k];
            for (; held <= machine.Day; held++)
                if (!load.BenchFree(at, held)) return;
            var cost = pour.Points + pour.RiskPoints[k];
            if (cost >= best.Cost || MachineFree(at, pour.FirstMachine + k) is var free && free == 0) continue;
            if (!finishes) Choose(at, cost, pour, pourFree, machine.Day, free, -1, 0);
            else
                for (var f = machine.FirstFinish; f < machine.EndFinish; f++)
                    if (FinishFree(at, f) is var last && last != 0) Choose(at, cost, pour, pourFree, machine.Day, free, at.Finishes[f], last);
        }
    }

    // One person for all sessions where somebody can; else the cheapest three.
    private void Choose(SiteWays at, int cost, PourWay pour, ulong pourFree, int machineDay, ulong machineFrees, int finishSlot, ulong finishFrees)
    {
        var all = pourFree & machineFrees & (finishSlot < 0 ? ulong.MaxValue : finishFrees);
        var found = false;
        for (; all != 0; all &= all - 1)
        {
            var k = BitOperations.TrailingZeroCount(all);
            found |= Keep(at, cost, pour, machineDay, finishSlot, k, k, k);
        }
        if (found && !EveryTeam || cost + substitutePoints >= best.Cost) return;
        for (var first = pourFree; first != 0; first &= first - 1)
            for (var second = machineFrees; second != 0; second &= second - 1)
            {
                var (p, m) = (BitOperations.TrailingZeroCount(first), BitOperations.TrailingZeroCount(second));
                if (finishSlot < 0) Keep(at, cost, pour, machineDay, finishSlot, p, m, m);
                else
                    for (var third = finishFrees; third != 0; third &= third - 1)
                        Keep(at, cost, pour, machineDay, finishSlot, p, m, BitOperations.TrailingZeroCount(third));
            }
    }

    private bool Keep(SiteWays at, int cost, PourWay pour, int machineDay, int finishSlot, int p, int m, int f)
    {
        var finishDay = finishSlot < 0 ? -1 : finishSlot / 2;
        if (!WeekHolds(at.Instructors[p], pour.Day, at.Instructors[m] == at.Instructors[p] ? machineDay : -1, p == f ? finishDay : -1)
            || p != m && !WeekHolds(at.Instructors[m], machineDay, m == f ? finishDay : -1, -1)) return false;
        cost += DayCost(at, p, pour.Day) + DayCost(at, m, machineDay) + (finishDay < 0 ? 0 : DayCost(at, f, finishDay))
            + (m == p ? 0 : substitutePoints) + (finishDay < 0 || f == p ? 0 : substitutePoints);
        if (cost < best.Cost) best = new(cost, at, pour.Slot, machineDay, finishSlot, p, m, f);
        return true;
    }

    private int DayCost(SiteWays at, int k, int day) => load.Teaches(at.Instructors[k], day) ? 0 : at.Travel[k] + DayPoints;

    // Each session alone fits its week; two or three of one person may not.
    private bool WeekHolds(int who, int day, int second, int third)
    {
        if (second < 0 && third < 0) return true;
        return Fits(who, day, second, third) && (second < 0 || third < 0 || Fits(who, third, second, -1));
    }

    private bool Fits(int who, int day, int second, int third)
    {
        var begun = New(who, day, day) + New(who, second, day) + New(who, third, day);
        return begun <= load.DaysLeft(who, day);
    }

    private int New(int who, int day, int inWeekOf) => day >= 0 && load.SameWeek(day, inWeekOf) && !load.Teaches(who, day) ? 1 : 0;

    private ulong MachineFree(SiteWays at, int index)
    {
        if (machineFree[index] != Unknown) return machineFree[index];
        var slot = 2 * at.Machines[index].Day;
        return machineFree[index] = load.MachinesFree(at, slot / 2) && load.RoomFree(at, slot) && load.RoomFree(at, slot + 1)
            ? load.Free(at, slot, slot + 1) : 0;
    }

    private ulong FinishFree(SiteWays at, int index)
    {
        if (finishFree[index] != Unknown) return finishFree[index];
        var slot = at.Finishes[index];
        return finishFree[index] = load.RoomFree(at, slot) ? load.Free(at, slot, slot) : 0;
    }

    private static void Forget(ref ulong[] memory, int length)
    {
        if (memory.Length < length) memory = new ulong[2 * length];
        Array.Fill(memory, Unknown, 0, length);
    }
}
