using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Corrections;

/// <summary>A tablet takes back what it has just recorded; all else takes an instructor.</summary>
public sealed class TakingBackTests : IAsyncLifetime
{
    private CorrectionDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CorrectionDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Theory]
    [InlineData(Role.Device)]
    [InlineData(Role.Assistant)]
    public async Task BelowInstructor_UndoesAMomentAgo_PourAndMixAlike(Role role)
    {
        _desk.Harness.Clock.Advance(TakingBack.Within);
        using var channel = _desk.Harness.OpenChannel(await KeyAsync(role));

        await UndoPourAsync(channel);
        await UndoMixAsync(channel);

        // All of the can of 20 kg is there again.
        Assert.Equal(20_000_000, await _desk.BalanceAsync(SampleStudio.DeepA));
    }

    [Theory]
    [InlineData(Role.Device)]
    [InlineData(Role.Assistant)]
    public async Task BelowInstructor_UndoesNothingOlder(Role role)
    {
        _desk.Harness.Clock.Advance(TakingBack.Within + TimeSpan.FromMilliseconds(1));
        using var channel = _desk.Harness.OpenChannel(await KeyAsync(role));

        Assert.Equal("NOT_ALLOWED", await _desk.RefusedAsync(() => UndoPourAsync(channel)));
        Assert.Equal("NOT_ALLOWED", await _desk.RefusedAsync(() => UndoMixAsync(channel)));
        Assert.Equal(19_000_000, await _desk.BalanceAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task BelowInstructor_SaysNotWhatIsRight()
    {
        using var channel = _desk.Harness.OpenChannel(await KeyAsync(Role.Assistant));
        var mixes = new V1.MixService.MixServiceClient(channel);

        Assert.Equal("NOT_ALLOWED", await _desk.RefusedAsync(() =>
            mixes.CorrectMixAsync(CorrectionDesk.Right(CorrectionDesk.Draw(SampleStudio.DeepA, 1_100_000))).ResponseAsync));
    }

    [Fact]
    public async Task Instructor_UndoesAtAnyTime()
    {
        _desk.Harness.Clock.Advance(TimeSpan.FromDays(30));
        using var channel = _desk.Harness.OpenChannel(await KeyAsync(Role.Instructor));

        await UndoPourAsync(channel);
        await UndoMixAsync(channel);

        Assert.Equal(20_000_000, await _desk.BalanceAsync(SampleStudio.DeepA));
    }

    private async Task<string> KeyAsync(Role role) => (await new V1.AccessService.AccessServiceClient(_desk.Harness.Channel).CreateAccessKeyAsync(new()
    {
        Parent = SampleStudio.Name, AccessKey = new() { DisplayName = "Tablet", Role = role },
    })).Secret;

    private Task<Pour> UndoPourAsync(ChannelBase channel) => new V1.PieceService.PieceServiceClient(channel).CorrectPourAsync(new()
    {
        Name = _desk.Pour.Name, Kind = Correction.Types.Kind.DidNotOccur, Person = "Ivo", Reason = "taken back at the bench",
    }).ResponseAsync;

    private static Task<Mix> UndoMixAsync(ChannelBase channel) => new V1.MixService.MixServiceClient(channel).CorrectMixAsync(new()
    {
        Name = CorrectionDesk.First, Kind = Correction.Types.Kind.DidNotOccur, Person = "Ivo", Reason = "taken back at the bench",
    }).ResponseAsync;
}
