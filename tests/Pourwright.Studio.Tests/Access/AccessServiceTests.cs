using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Access;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Access;

/// <summary>Keys on a running node: made, shown once, refused when they are over.</summary>
public sealed class AccessServiceTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private V1.AccessService.AccessServiceClient _access = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_node);
        _access = new(_node.Channel);
    }

    public async Task DisposeAsync() => await _node.DisposeAsync();

    [Fact]
    public async Task Create_ShowsTheSecretOnce_AndKeepsItsHashAlone()
    {
        var requestId = Guid.NewGuid().ToString();
        var key = await MakeAsync(Role.Device, requestId: requestId);
        var repeat = await MakeAsync(Role.Device, requestId: requestId);

        Assert.Equal((key.Name, ""), (repeat.Name, repeat.Secret));
        Assert.Equal("", (await _access.GetAccessKeyAsync(new() { Name = key.Name })).Secret);
        // 256 bits are 43 letters of base64url: 43 · 6 = 258.
        Assert.Equal(Secrets.KeyPrefix.Length + 43, key.Secret.Length);
        Assert.DoesNotContain(key.Secret, Everything(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Identity_SaysWhatTheKeyAllows()
    {
        var who = await IdentityAsync((await MakeAsync(Role.Instructor, SampleStudio.North)).Secret);

        Assert.Equal((Role.Instructor, SampleStudio.Name, SampleStudio.North), (who.Role, who.Studio, Assert.Single(who.Sites)));
    }

    [Theory]
    [InlineData(null)]
    [InlineData("pwk_AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA")]
    [InlineData("owner")]
    public async Task Call_WithoutAGoodKey_IsNotAccepted(string? key) => await RefusedAsync(key);

    [Fact]
    public async Task Key_Expired_IsNotAccepted()
    {
        var key = await MakeAsync(Role.Device, expireTime: StudioHarness.Start.AddHours(1));
        await IdentityAsync(key.Secret);

        _node.Clock.Advance(TimeSpan.FromHours(1));

        await RefusedAsync(key.Secret);
    }

    [Fact]
    public async Task Key_Revoked_IsNotAcceptedFromTheNextCallOn_AndItsStreamEnds()
    {
        var key = await MakeAsync(Role.Device);
        await PourAsync();
        using var channel = _node.OpenChannel(key.Secret);
        using var watch = new V1.ForecastService.ForecastServiceClient(channel).WatchReadiness(new() { Parent = SampleStudio.Name });
        Assert.True(await watch.ResponseStream.MoveNext(default));

        await _access.RevokeAccessKeyAsync(new() { Name = key.Name });

        await RefusedAsync(key.Secret);
        Assert.Equal(StatusCode.Unauthenticated, (await Assert.ThrowsAsync<RpcException>(() => watch.ResponseStream.MoveNext(default))).StatusCode);
    }

    /// <summary>What another node does is in the store, and nowhere in this node's memory.</summary>
    [Fact]
    public async Task Key_RevokedByAnotherNode_IsRefused_AndItsStreamEnds_WithinFiveSeconds()
    {
        var key = await MakeAsync(Role.Device);
        await PourAsync();
        using var channel = _node.OpenChannel(key.Secret);
        using var watch = new V1.ForecastService.ForecastServiceClient(channel).WatchReadiness(new() { Parent = SampleStudio.Name });
        Assert.True(await watch.ResponseStream.MoveNext(default));
        await _node.Writer.WriteAsync(tx => tx.Execute("UPDATE access_keys SET revoke_ms = 1 WHERE name = @Name", new { key.Name }));

        _node.Clock.Advance(TimeSpan.FromSeconds(5));

        await RefusedAsync(key.Secret);
        Assert.Equal(StatusCode.Unauthenticated, (await Assert.ThrowsAsync<RpcException>(() => watch.ResponseStream.MoveNext(default))).StatusCode);
    }

    [Fact]
    public async Task OwnerKey_OnlyOne_RevokesTheEarlierOnes()
    {
        var owners = _node.Services.GetRequiredService<OwnerKeys>();
        Assert.False(owners.IsFirstNeeded);
        var first = await owners.IssueAsync();
        var second = await owners.IssueAsync(onlyOne: true);
        _node.Clock.Advance(KeyRing.Freshness);

        await RefusedAsync(first);
        Assert.Equal("", (await IdentityAsync(second)).Studio);
    }

    [Fact]
    public async Task RoleTooLow_IsNotAllowed_WhateverTheCallNames()
    {
        using var channel = _node.OpenChannel((await MakeAsync(Role.Device)).Secret);

        foreach (var name in (string[])[SampleStudio.Name, "studios/nowhere", "nonsense"])
        {
            var refusal = await Assert.ThrowsAsync<RpcException>(() =>
                new V1.AccessService.AccessServiceClient(channel).ListAccessKeysAsync(new() { Parent = name }).ResponseAsync);
            Assert.Equal((StatusCode.PermissionDenied, "NOT_ALLOWED"), (refusal.StatusCode, refusal.Reason()));
            Assert.Equal(("owner", "device"), (refusal.Facts()["needed"], refusal.Facts()["role"]));
        }
    }

    [Fact]
    public async Task Json_TakesTheSameKey()
    {
        using var http = _node.OpenHttp();
        using var stranger = new HttpClient { BaseAddress = _node.HttpAddress };

        Assert.Contains("Alder", await http.GetStringAsync("/v1/studios/alder"), StringComparison.Ordinal);
        using var refused = await stranger.GetAsync(new Uri("/v1/studios/alder", UriKind.Relative));
        Assert.Equal(System.Net.HttpStatusCode.Unauthorized, refused.StatusCode);
        Assert.Equal("Healthy", await stranger.GetStringAsync("/healthz"));
    }

    [Fact]
    public async Task AddressesOfContacts_AreShownFromInstructorOn()
    {
        Assert.Equal(("Olive", ""), Told(await SiteAsync(Role.Assistant)));
        Assert.Equal(("Olive", "olive@alder.example"), Told(await SiteAsync(Role.Instructor)));

        static (string, string) Told(Site site) => (site.Contacts[0].DisplayName, site.Contacts[0].Email);
    }

    /// <summary>A curing piece, so that a watch of readiness has begun once it speaks of it.</summary>
    private async Task PourAsync()
    {
        await SampleStudio.ReceiveLotsAsync(_node);
        var pieces = new V1.PieceService.PieceServiceClient(_node.Channel);
        var mix = await new V1.MixService.MixServiceClient(_node.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
            },
        });
        var piece = await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, Piece = new() { Site = SampleStudio.North, Label = "7" } });
        await pieces.RecordPourAsync(new()
        {
            Parent = piece.Name, Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1_300_000, DepthMm = 40, Pourer = "Ivo" },
        });
        await _node.SettleAsync();
    }

    private async Task<Site> SiteAsync(Role role)
    {
        using var channel = _node.OpenChannel((await MakeAsync(role)).Secret);
        return await new V1.SiteService.SiteServiceClient(channel).GetSiteAsync(new() { Name = SampleStudio.North });
    }

    private async Task<AccessKey> MakeAsync(Role role, string? site = null, string requestId = "", DateTimeOffset? expireTime = null) =>
        await _access.CreateAccessKeyAsync(new()
        {
            Parent = SampleStudio.Name,
            AccessKey = new()
            {
                DisplayName = "Tablet", Role = role, Sites = { site is null ? [] : [site] },
                ExpireTime = expireTime is { } expires ? Timestamp.FromDateTimeOffset(expires) : null,
            },
            RequestId = requestId,
        });

    private async Task<Identity> IdentityAsync(string secret)
    {
        using var channel = _node.OpenChannel(secret);
        return await new V1.AccessService.AccessServiceClient(channel).GetIdentityAsync(new());
    }

    private async Task RefusedAsync(string? secret)
    {
        using var channel = _node.OpenChannel(secret);
        var refusal = await Assert.ThrowsAsync<RpcException>(() => new V1.AccessService.AccessServiceClient(channel).GetIdentityAsync(new()).ResponseAsync);
        Assert.Equal((StatusCode.Unauthenticated, "KEY_NOT_ACCEPTED"), (refusal.StatusCode, refusal.Reason()));
    }

    /// <summary>All that is kept of keys and of answers, as text.</summary>
    private string Everything() => _node.Reads.Read(session => string.Concat(
        session.Query<string>($"SELECT {Hex("answer")} FROM requests_seen").Select(hex => System.Text.Encoding.Latin1.GetString(Convert.FromHexString(hex)))
            .Concat(session.Query<string>($"SELECT name || display_name || sites || {Hex("key_sha256")} FROM access_keys"))));

    private string Hex(string column) => _node.Store.IsFile ? $"hex({column})" : $"encode({column}, 'hex')";
}
