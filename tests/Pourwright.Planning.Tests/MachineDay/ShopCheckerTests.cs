using Pourwright.Planning.MachineDay;

namespace Pourwright.Planning.Tests.MachineDay;

/// <summary>A schedule that can be worked by, and everything that can be wrong with it.</summary>
public sealed class ShopCheckerTests
{
    // Two pieces, the second ready at 10: one planer 10 min each, then two places to sand, 20 min each.
    private static readonly ShopCase Shop = new(
        [new("planer"), new("sand", 2)],
        [new("oak", 0, [new(0, 10), new(1, 20)]), new("ash", 10, [new(0, 10), new(1, 20)])]);

    private static readonly ShopSchedule Right = new(
        [new(0, 0, 0, 0, 0, 10), new(0, 1, 1, 0, 10, 30), new(1, 0, 0, 0, 10, 20), new(1, 1, 1, 1, 20, 40)], 40);

    [Fact]
    public void RightSchedule_HasNoFault() => Assert.Empty(ShopChecker.Faults(Shop, Right));

    public static TheoryData<ShopRun, string> Wrong => new()
    {
        { new(0, 1, 1, 0, 9, 29), "Operation 1 of job oak starts at 9 min, its job is free at 10." },
        { new(1, 0, 0, 0, 9, 19), "Operation 0 of job ash starts at 9 min, its job is free at 10." },
        { new(1, 0, 0, 0, 10, 19), "Operation 0 of job ash takes 9 min at stage 0, which is none of its choices." },
        { new(1, 0, 1, 1, 10, 20), "Operation 0 of job ash takes 10 min at stage 1, which is none of its choices." },
        { new(1, 1, 1, 2, 20, 40), "Operation 1 of job ash is at place 2 of 2." },
        { new(1, 1, 1, 0, 20, 40), "Operation 1 of job oak and Operation 1 of job ash share place 0 of stage 1." },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public void WrongRun_IsFound(ShopRun wrong, string fault) => Assert.Contains(fault, ShopChecker.Faults(
        Shop, Right with { Runs = [.. Right.Runs.Select(r => (r.Job, r.Operation) == (wrong.Job, wrong.Operation) ? wrong : r)] }));

    [Fact]
    public void MissingRun_IsFound() => Assert.Equal(
        ["Operation 1 of job ash is done 0 times, not once."], ShopChecker.Faults(Shop, new([.. Right.Runs.SkipLast(1)], 30)));

    [Fact]
    public void RunTwice_IsFound() => Assert.Contains(
        "Operation 0 of job oak is done 2 times, not once.",
        ShopChecker.Faults(Shop, Right with { Runs = [.. Right.Runs, Right.Runs[0]] }));

    [Fact]
    public void RunOfNoJob_IsFound() => Assert.Equal(
        ["Job 2, operation 0 is not in the shop."],
        ShopChecker.Faults(Shop, Right with { Runs = [.. Right.Runs, new(2, 0, 0, 0, 50, 60)] }));

    [Fact]
    public void BoundAboveTheMakespan_IsFound() => Assert.Equal(
        ["It ends at 40 min, and 41 min were proved to be the least."], ShopChecker.Faults(Shop, Right with { LowerBoundMinutes = 41 }));
}
