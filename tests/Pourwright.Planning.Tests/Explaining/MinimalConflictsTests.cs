using Pourwright.Planning.Checking;
using Pourwright.Planning.Explaining;

namespace Pourwright.Planning.Tests.Explaining;

public class MinimalConflictsTests
{
    // Every placement breaks the bench, or both the weekday and the saw: bench and one of the two exclude all.
    [Fact]
    public void Of_OneRuleOrTwoOthers_HoldsTheOneAndEachOfTheTwo() => Assert.Equal(
        [RuleSet.Of(PlanRule.Weekday, PlanRule.BenchPlaces), RuleSet.Of(PlanRule.BenchPlaces, PlanRule.SawMinutes)],
        MinimalConflicts.Of([RuleSet.Of(PlanRule.BenchPlaces), RuleSet.Of(PlanRule.Weekday, PlanRule.SawMinutes)]));

    [Fact]
    public void Of_APlacementThatBreaksNothing_IsNoConflict() =>
        Assert.Empty(MinimalConflicts.Of([RuleSet.Of(PlanRule.BenchPlaces), new RuleSet(0)]));

    // All subsets of nine rules, tried one by one.
    [Fact]
    public void Of_RandomSets_AreTheMinimalOnesOfAllThatHitEach()
    {
        for (var seed = 0; seed < 200; seed++)
        {
            var random = new Random(seed);
            int[] sets = [.. Enumerable.Range(0, 1 + random.Next(12)).Select(_ => random.Next(1, 512))];
            int[] hitting = [.. Enumerable.Range(1, 511).Where(bits => sets.All(set => (set & bits) != 0))];
            int[] minimal = [.. hitting.Where(bits => !hitting.Any(other => other != bits && (other & ~bits) == 0))];
            Assert.Equal(minimal.Order(), MinimalConflicts.Of(sets.Select(set => new RuleSet(set))).Select(set => set.Bits).Order());
        }
    }
}
