using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using State = Pourwright.V1.Container.Types.State;

namespace Pourwright.Studio.Tests.Mixes;

public sealed class MixServiceTests : IAsyncLifetime
{
    private readonly MixStudio _studio = new();

    public Task InitializeAsync() => _studio.InitializeAsync();

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task RecordMix_Accepted_ReadsBackAsItWasAnswered()
    {
        var request = MixStudio.Mix().But(r => (r.MixId, r.Mix.TemperatureCelsius, r.Mix.Scale) = ("first", 21.5, "bench scale"));

        var mix = await _studio.Mixes.RecordMixAsync(request);

        Assert.Equal("studios/alder/mixes/first", mix.Name);
        Assert.Equal((42, 0, 142_000), (mix.HardenerPartsPer100Resin, mix.RatioDeviationPercent, mix.RemainingMassMg));
        Assert.Equal(StudioHarness.Start.AddHours(6), mix.PotLifeEndTime.ToDateTimeOffset());
        Assert.Equal(mix, await _studio.Mixes.GetMixAsync(new() { Name = mix.Name }));
        Assert.Equal(mix, Assert.Single((await _studio.Mixes.ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes));
    }

    [Theory]
    [InlineData(SampleStudio.North, 0, 1)]
    [InlineData(SampleStudio.South, 0, 0)]
    [InlineData("", 1, 0)]
    public async Task ListMixes_OfASiteSinceATime_LeavesOutTheOthers(string site, int millisecondsLater, int count)
    {
        var mix = await _studio.Mixes.RecordMixAsync(MixStudio.Mix());

        var listed = await _studio.Mixes.ListMixesAsync(new()
        {
            Parent = SampleStudio.Name,
            Site = site,
            StartTime = Timestamp.FromDateTimeOffset(mix.MixTime.ToDateTimeOffset().AddMilliseconds(millisecondsLater)),
        });

        Assert.Equal(count, listed.Mixes.Count);
    }

    [Fact]
    public async Task RecordMix_RepeatedWithTheSameRequestId_DrawsOnce()
    {
        var request = MixStudio.Mix().But(r => r.RequestId = Guid.NewGuid().ToString());

        var first = await _studio.Mixes.RecordMixAsync(request);
        var second = await _studio.Mixes.RecordMixAsync(request);

        Assert.Equal(first, second);
        Assert.Equal(19_900_000, await RemainingMassMgAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task RecordMix_ValidateOnly_AnswersAndKeepsNothing()
    {
        var (evidence, request) = (_studio.EvidenceCount(), MixStudio.Mix().But(r => r.ValidateOnly = true));

        var mix = await _studio.Mixes.RecordMixAsync(request);

        Assert.Equal(142_000, mix.RemainingMassMg);
        Assert.Equal(evidence, _studio.EvidenceCount());
        Assert.Equal((20_000_000, State.Sealed), (await RemainingMassMgAsync(SampleStudio.DeepA), (await ContainerAsync(SampleStudio.DeepA)).State));

        await _studio.Mixes.RecordMixAsync(request.But(r => r.ValidateOnly = false));

        Assert.Equal(19_900_000, await RemainingMassMgAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task RecordMix_SixtyFourAtOnceFromOneContainer_NeverOverdraw()
    {
        // 1,000,000 mg at 30,000 mg a mix: 33 mixes fit (990,000 mg), the other 31 are refused.
        var outcomes = await Task.WhenAll(Enumerable.Range(0, 64).Select(_ => ReasonOf(MixStudio.Mix(MixStudio.A2, 30_000, bMassMg: 12_600))));

        Assert.Equal((33, 31), (outcomes.Count(reason => reason == ""), outcomes.Count(reason => reason == "CONTAINER_SHORT")));
        Assert.Equal(10_000, await RemainingMassMgAsync(MixStudio.A2));
        Assert.Equal(9_000_000 - 33 * 12_600, await RemainingMassMgAsync(SampleStudio.DeepB));
    }

    [Fact]
    public async Task RecordMix_WithAnOpenedCanPastItsShelfLife_IsRefused()
    {
        // The deep system's opened shelf life is 180 days.
        await _studio.Lots.OpenContainerAsync(new() { Name = SampleStudio.DeepA });
        _studio.Harness.Clock.Advance(TimeSpan.FromDays(180) - TimeSpan.FromMilliseconds(1));
        Assert.Equal("", await ReasonOf(MixStudio.Mix().But(r => r.Mix.MixTime = null)));

        _studio.Harness.Clock.Advance(TimeSpan.FromMilliseconds(1));

        Assert.Equal("CONTAINER_EXPIRED", await ReasonOf(MixStudio.Mix().But(r => r.Mix.MixTime = null)));
    }

    [Fact]
    public async Task HoldLot_ThenRelease_StopsAndAllowsItsUse()
    {
        await _studio.Lots.HoldLotAsync(new() { Name = "studios/alder/lots/deep-a-lot", Reason = "soft pieces" });
        Assert.Equal("LOT_HELD", await ReasonOf(MixStudio.Mix()));

        await _studio.Lots.ReleaseLotAsync(new() { Name = "studios/alder/lots/deep-a-lot", Reason = "it was the room" });

        Assert.Equal("", await ReasonOf(MixStudio.Mix()));
    }

    [Fact]
    public async Task ReleaseContainer_WithAHeldLotInside_StaysRefused()
    {
        await _studio.Lots.HoldContainerAsync(new() { Name = MixStudio.LotHeldA, Reason = "cloudy" });

        var released = await _studio.Lots.ReleaseContainerAsync(new() { Name = MixStudio.LotHeldA, Reason = "clear again" });

        Assert.Equal((true, "soft pieces"), (released.Held, released.HoldReason));
        Assert.Equal("LOT_HELD", await ReasonOf(MixStudio.Mix(MixStudio.LotHeldA)));
    }

    [Fact]
    public async Task DiscardMix_UpToWhatIsLeft_AndNoFurther()
    {
        var mix = await _studio.Mixes.RecordMixAsync(MixStudio.Mix());

        Assert.Equal(2_000, (await _studio.Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = 140_000 })).RemainingMassMg);
        var refusal = await Assert.ThrowsAsync<RpcException>(() => _studio.Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = 2_001 }).ResponseAsync);
        Assert.Equal(("MIX_SHORT", "2000"), (refusal.Reason(), refusal.Facts()["remaining_mass_mg"]));
        Assert.Equal(0, (await _studio.Mixes.DiscardMixAsync(new() { Name = mix.Name, MassMg = 2_000 })).RemainingMassMg);
    }

    private async Task<string> ReasonOf(RecordMixRequest request)
    {
        try
        {
            await _studio.Mixes.RecordMixAsync(request);
            return "";
        }
        catch (RpcException refusal)
        {
            return refusal.Reason();
        }
    }

    private async Task<Container> ContainerAsync(string name) => await _studio.Lots.GetContainerAsync(new() { Name = name });

    private async Task<long> RemainingMassMgAsync(string name) => (await ContainerAsync(name)).RemainingMassMg;
}
