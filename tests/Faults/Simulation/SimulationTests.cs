using System.Globalization;

namespace Pourwright.Faults.Simulation;

/// <summary>
/// Goal: whatever strikes a studio of one node or two, in whatever order, it keeps its promises. Method: see <see cref="StudioDays"/>.
/// The code under test is the real one, its file is a real SQLite file; clock, bus, post and chance are simulated, so that a seed plays
/// the same days again. Mistakes put in on purpose show what the simulation would find.
/// </summary>
public sealed class SimulationTests
{
    private static readonly int Days = Environment.GetEnvironmentVariable("POURWRIGHT_FAULT_DAYS") is { Length: > 0 } days ? int.Parse(days, CultureInfo.InvariantCulture) : 3;

    private static readonly int FirstSeed = Environment.GetEnvironmentVariable("POURWRIGHT_FAULT_SEED") is { Length: > 0 } seed ? int.Parse(seed, CultureInfo.InvariantCulture) : 1;

    [Fact]
    public async Task Days_OfAnySeed_KeepEveryPromise()
    {
        var seeds = Cycles.Of(inShort: 12, inLong: 10_000);
        var (acts, broken) = (0, new List<string>());
        foreach (var seed in Enumerable.Range(FirstSeed, seeds))
            try
            {
                acts += (await StudioDays.PlayAsync(seed, Days, PlantedBug.None)).ActCount;
            }
            catch (BrokenPromiseException e)
            {
                broken.Add(e.Message);
            }
        Assert.True(broken.Count == 0, string.Join("\n\n", broken));
        Figures.AtLeast("simulated_days", seeds * Days, 1);
        Figures.AtLeast("simulated_acts", acts, 1);
        Figures.AtMost("simulated_promises_broken", broken.Count, 0);
    }

    [Fact]
    public async Task Days_OfOneSeed_AreTheSameAgain()
    {
        var seeds = Cycles.Of(inShort: 3, inLong: 200);
        List<string> differences = [];
        foreach (var seed in Enumerable.Range(FirstSeed, seeds))
        {
            var (once, again) = (await StudioDays.PlayAsync(seed, Days, PlantedBug.None), await StudioDays.PlayAsync(seed, Days, PlantedBug.None));
            if (once.Trace == again.Trace) continue;
            differences.Add($"Seed {seed}: {once.Trace.Split('\n').Zip(again.Trace.Split('\n')).First(pair => pair.First != pair.Second)}");
        }
        Assert.True(differences.Count == 0, string.Join('\n', differences));
        Figures.AtMost("simulated_seeds_played_otherwise", differences.Count, 0);
    }

    [Fact]
    public async Task Days_WithAPlantedBug_BreakAPromise_NineteenTimesInTwenty()
    {
        var seedsMost = Cycles.Of(inShort: 10, inLong: 100);
        List<string> missed = [];
        foreach (var bug in PlantedBug.All)
            if (!await IsFoundAsync(bug, seedsMost)) missed.Add(bug.Name);
        Figures.AtLeast("simulated_bugs_planted", PlantedBug.All.Count, 20);
        foreach (var bug in missed) Figures.Say($"simulated_bug_not_found_in_{seedsMost}_seeds: {bug}");
        Figures.AtLeast("simulated_bugs_found_share", (PlantedBug.All.Count - missed.Count) / (double)PlantedBug.All.Count, 0.95);
    }

    private static async Task<bool> IsFoundAsync(PlantedBug bug, int seedsMost)
    {
        foreach (var seed in Enumerable.Range(FirstSeed, seedsMost))
            try
            {
                await StudioDays.PlayAsync(seed, Days, bug);
            }
            catch (BrokenPromiseException)
            {
                return true;
            }
        Assert.True(bug.Edits.Length == 0 || bug.HitCount > 0, $"'{bug.Name}' changed no statement: its text is no more that of the code.");
        return false;
    }
}
