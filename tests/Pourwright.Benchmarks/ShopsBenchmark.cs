using System.Diagnostics;
using Pourwright.Planning.MachineDay;
using Pourwright.Planning.Tests.MachineDay;

namespace Pourwright.Benchmarks;

/// <summary>Published shops that take longer than a test may, and how quickly a day of a class is answered.</summary>
/// <remarks>Sources of the published values: tests/Pourwright.Planning.Tests/Reference/shop/README.md.</remarks>
internal static class ShopsBenchmark
{
    private const int WorkByDefault = 20;
    private const int Rounds = 5;
    private const double SolveSecondsBar = 0.1;
    private const double SimulationSecondsBar = 0.3;

    private static readonly int[] Pieces = [4, 6, 8, 10, 12];

    // Of those that are not proved the value alone is asked for.
    private static readonly (string Name, int Minutes, bool Proved)[] Published =
    [
        ("ft20", 1165, true), ("la16", 945, true), ("mk08", 523, true), ("mk09", 307, true), ("car1", 7038, true),
        ("car5", 7702, true), ("car7", 6558, true), ("abz5", 1234, true), ("ft10", 930, true),
        ("orb01", 1059, true), ("la21", 1046, true), ("mk02", 26, false), ("mk05", 172, false),
    ];

    public static int Run(string[] options)
    {
        var effort = new ShopEffort { Work = Option.Of(options, "--work", WorkByDefault) };
        var days = Days();
        Figure.Print($"Published shops, at most {effort.Work:0} units of work each, seed {effort.Seed}:");
        return Figure.Report([.. days, .. Published.SelectMany(shop => Solve(shop.Name, shop.Minutes, shop.Proved, effort))]);
    }

    private static Figure[] Solve(string name, int minutes, bool proved, ShopEffort effort)
    {
        var (shop, started) = (ShopInstance.Read(name), Stopwatch.GetTimestamp());
        var schedule = ShopSolver.Solve(shop, effort);
        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        Figure.Print($"  {name} {schedule.MakespanMinutes}, bound {schedule.LowerBoundMinutes}, published {minutes}, {seconds:0.0} s");
        foreach (var fault in ShopChecker.Faults(shop, schedule))
            throw new InvalidOperationException($"{name}: {fault}");
        var value = Figure.AtMost($"shop_{name}_minutes", schedule.MakespanMinutes, minutes);
        return proved ? [value, Figure.AtLeast($"shop_{name}_proved_minutes", schedule.LowerBoundMinutes, minutes)] : [value];
    }

    private static Figure[] Days()
    {
        Console.WriteLine($"Second days, usual stations; processor time, the least of {Rounds} rounds:");
        var days = Pieces.Select(pieces => Day(pieces, planers: 1)).Concat(Pieces.Select(pieces => Day(pieces, planers: 2))).ToArray();
        var (solve, simulate) = days[Array.IndexOf(Pieces, 8)];
        Console.WriteLine();
        return [
            Figure.AtMost("day_of_8_pieces_solved_processor_seconds", solve, SolveSecondsBar),
            Figure.AtMost("day_of_8_pieces_4000_times_simulated_processor_seconds", simulate, SimulationSecondsBar)];
    }

    private static (double Solve, double Simulate) Day(int pieces, int planers)
    {
        var shop = RandomDay(pieces, planers).Case;
        var (schedule, promised) = (ShopSolver.Solve(shop, ShopEffort.Day), DaySimulation.P90Minutes(shop));
        var solve = ProcessorClock.LeastSeconds(Rounds, () => ShopSolver.Solve(shop, ShopEffort.Day));
        var simulate = ProcessorClock.LeastSeconds(Rounds, () => DaySimulation.P90Minutes(shop));
        var text = schedule.IsProved ? "proved" : Figure.Invariant($"bound {schedule.LowerBoundMinutes}");
        Figure.Print($"  {pieces} pieces, {planers} planers: {schedule.MakespanMinutes} min ({text}) in {solve * 1000:0.0} ms, people {promised:0} min in {simulate * 1000:0.0} ms");
        return (solve, simulate);
    }

    // Pieces of all sizes: each stage a fifth shorter or longer than usual, and ready within the first half hour.
    private static SecondDayShop RandomDay(int pieces, int planers)
    {
        var (random, usual) = (new Random(pieces), new SecondDayMinutes());
        int Near(int minutes) => (int)Math.Round(minutes * (0.8 + 0.4 * random.NextDouble()));
        return new(
            [.. Enumerable.Range(1, pieces).Select(number => new SecondDayPiece($"piece {number}", random.Next(31), new()
            {
                Demold = Near(usual.Demold), Planer = Near(usual.Planer), Saw = Near(usual.Saw),
                CoarseSand = Near(usual.CoarseSand), FineSand = Near(usual.FineSand), FirstCoat = Near(usual.FirstCoat),
            }))],
            new() { Planers = planers });
    }
}
