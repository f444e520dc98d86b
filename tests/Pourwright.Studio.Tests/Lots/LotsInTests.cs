using Pourwright.Studio.Lots;
using Pourwright.Studio.Tests.Mixes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Lots;

public sealed class LotsInTests : IAsyncLifetime
{
    private const string Tank = SampleStudio.DeepA;
    private const string TankLot = "studios/alder/lots/deep-a-lot";
    private const string CanLot = "studios/alder/lots/deep-a2-lot";

    private readonly MixStudio _studio = new();

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Draw_BeforeATopUp_HoldsOnlyWhatWasInTheTankThen()
    {
        var before = await _studio.Mixes.RecordMixAsync(MixStudio.Mix());
        await TopUpAsync(Tank, MixStudio.A2);
        var after = await _studio.Mixes.RecordMixAsync(MixStudio.Mix());

        Assert.Equal([TankLot], LotsOf(before));
        Assert.Equal([TankLot, CanLot], LotsOf(after));
        Assert.Equal([after.Name], MixesOf(CanLot));
        Assert.Equal([before.Name, after.Name], MixesOf(TankLot));
        Assert.Contains(after.Cautions, caution => caution.Reason == "SEVERAL_LOTS");
    }

    [Fact]
    public async Task CanToppedUpLater_PassesOnOnlyWhatWasInItAtTheFill()
    {
        // The jug is filled from the can; only then the can gets some of the tank.
        var jug = await _studio.Lots.DecantContainerAsync(new() { Name = MixStudio.A2, MassMg = 200_000 });
        await TopUpAsync(MixStudio.A2, Tank);

        Assert.Equal([CanLot], (await _studio.Lots.GetContainerAsync(new() { Name = jug.Name })).Lots);
        Assert.Equal([TankLot, CanLot], (await _studio.Lots.GetContainerAsync(new() { Name = MixStudio.A2 })).Lots);
        Assert.DoesNotContain(jug.Name, ContainersOf(TankLot));
        Assert.Contains(jug.Name, ContainersOf(CanLot));
    }

    [Fact]
    public async Task TwoContainersPouredIntoEachOther_HoldTheLotsOfBoth()
    {
        await TopUpAsync(Tank, MixStudio.A2);
        await TopUpAsync(MixStudio.A2, Tank);
        await TopUpAsync(Tank, MixStudio.A2);

        Assert.All((string[])[Tank, MixStudio.A2], name => Assert.Equal([TankLot, CanLot],
            _studio.Harness.Reads.Read(session => LotStore.LotsIn(session, name)).Select(lot => lot.Name)));
        Assert.Equal([Tank, MixStudio.A2], ContainersOf(CanLot));
    }

    [Fact]
    public async Task ListContainers_OfALot_FollowsItThroughTheTank()
    {
        await TopUpAsync(Tank, MixStudio.A2, 1_000_000);

        Assert.Equal([Tank], await ListAsync(showSpent: false));
        Assert.Equal([Tank, MixStudio.A2], await ListAsync(showSpent: true));

        async Task<IEnumerable<string>> ListAsync(bool showSpent) => (await _studio.Lots.ListContainersAsync(new()
        {
            Parent = SampleStudio.Name,
            Site = SampleStudio.North,
            Lot = CanLot,
            ShowSpent = showSpent,
        })).Containers.Select(container => container.Name);
    }

    [Fact]
    public async Task ListContainers_PageByPage_ShowsEachOnce()
    {
        var all = (await _studio.Lots.ListContainersAsync(new() { Parent = SampleStudio.Name, ShowSpent = true })).Containers.Select(c => c.Name);

        List<string> paged = [];
        var request = new ListContainersRequest { Parent = SampleStudio.Name, ShowSpent = true, PageSize = 3 };
        do
        {
            var page = await _studio.Lots.ListContainersAsync(request);
            paged.AddRange(page.Containers.Select(container => container.Name));
            request.PageToken = page.NextPageToken;
        }
        while (request.PageToken.Length > 0);

        Assert.Equal(10, paged.Count);
        Assert.Equal(all, paged);
    }

    private async Task TopUpAsync(string target, string source, long massMg = 100_000) =>
        await _studio.Lots.TopUpContainerAsync(new() { Name = target, Source = source, MassMg = massMg });

    private List<string> LotsOf(Mix mix) => _studio.Harness.Reads.Read(session => LotStore.Draws(session, mix.Name)
        .Where(draw => draw.Part == Part.A)
        .SelectMany(draw => LotStore.LotsIn(session, draw.Container, draw.Sequence))
        .Select(lot => lot.Name).ToList());

    private IEnumerable<string> MixesOf(string lot) =>
        _studio.Harness.Reads.Read(session => LotStore.DrawsOfLot(session, lot)).Select(draw => draw.Mix);

    private IEnumerable<string> ContainersOf(string lot) =>
        _studio.Harness.Reads.Read(session => LotStore.ContainersOf(session, lot)).Select(container => container.Name);
}
