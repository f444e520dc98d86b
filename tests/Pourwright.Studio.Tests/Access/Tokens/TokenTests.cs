using System.Security.Cryptography;
using System.Text.Json.Nodes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Access.Tokens;

/// <summary>Who comes in with a token of an issuer beside the node: the genuine ones, and none of the others.</summary>
public sealed class TokenTests : IAsyncLifetime
{
    private TokenIssuer _issuer = null!;
    private StudioHarness _node = null!;

    public static TheoryData<string> Forgeries() => new(ForgedTokens.All.Keys);

    public async Task InitializeAsync()
    {
        _issuer = await TokenIssuer.StartAsync();
        _node = await StudioHarness.StartAsync(null, $"--Access:Tokens:Authority={_issuer.Name}", $"--Access:Tokens:Audience={TokenIssuer.Audience}");
    }

    public async Task DisposeAsync()
    {
        await _node.DisposeAsync();
        await _issuer.DisposeAsync();
    }

    [Theory]
    [MemberData(nameof(Forgeries))]
    public async Task ForgedToken_IsNotLetIn(string forgery)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => IdentifyAsync(ForgedTokens.All[forgery](_issuer)));

        Assert.Equal((StatusCode.Unauthenticated, "KEY_NOT_ACCEPTED"), (refusal.StatusCode, refusal.Reason()));
        Assert.DoesNotContain("/stranger", _issuer.Asked);
    }

    [Theory]
    [InlineData("RS256")]
    [InlineData("PS256")]
    [InlineData("ES256")]
    public async Task GenuineToken_OfEachAlgorithm_IsWhoItSays(string alg)
    {
        var (header, claims) = (TokenIssuer.Header(alg, alg == "ES256" ? TokenIssuer.EcKid : TokenIssuer.RsaKid).ToJsonString(), _issuer.Claims().ToJsonString());
        var token = alg == "ES256"
            ? TokenIssuer.Joined(header, claims, bytes => _issuer.Ec.SignData(bytes, HashAlgorithmName.SHA256))
            : TokenIssuer.Signed(header, claims, _issuer.Rsa, alg == "PS256" ? RSASignaturePadding.Pss : RSASignaturePadding.Pkcs1);

        var identity = await IdentifyAsync(token);

        Assert.Equal(
            ("studios/alder/tokens/ivo-7", "Ivo", Role.Instructor, "studios/alder", "studios/alder/sites/north"),
            (identity.Key, identity.DisplayName, identity.Role, identity.Studio, Assert.Single(identity.Sites)));
    }

    [Fact]
    public async Task TokenOfAllSites_IsOfTheWholeStudio()
    {
        var claims = _issuer.Claims();
        claims["pourwright_sites"] = "*";

        Assert.Empty((await IdentifyAsync(_issuer.Signed(TokenIssuer.Header(), claims))).Sites);
    }

    /// <summary>Good for 1,200 s more; clocks may be 30 s apart.</summary>
    [Theory]
    [InlineData(1229, true)]
    [InlineData(1231, false)]
    public async Task Token_ByItsTime_IsGoodUntilItsExpiry(int seconds, bool isGood)
    {
        var token = _issuer.Signed(TokenIssuer.Header(), _issuer.Claims());
        await IdentifyAsync(token);

        _node.Clock.Advance(TimeSpan.FromSeconds(seconds));

        Assert.Equal(isGood, await Record.ExceptionAsync(() => IdentifyAsync(token)) is null);
    }

    [Theory]
    [InlineData("studios/alder", StatusCode.NotFound, "STUDIO_NOT_FOUND")] // its studio, which nobody has made yet
    [InlineData("studios/birch", StatusCode.NotFound, "STUDIO_NOT_FOUND")]
    public async Task Token_ReachesItsStudioAlone(string studio, StatusCode code, string reason)
    {
        using var channel = _node.OpenChannel(_issuer.Signed(TokenIssuer.Header(), _issuer.Claims()));

        var refusal = await Assert.ThrowsAsync<RpcException>(() => new StudioService.StudioServiceClient(channel).GetStudioAsync(new() { Name = studio }).ResponseAsync);

        Assert.Equal((code, reason), (refusal.StatusCode, refusal.Reason()));
    }

    [Fact]
    public async Task Token_OfARole_MayNoMoreThanThatRole()
    {
        using var channel = _node.OpenChannel(_issuer.Signed(TokenIssuer.Header(), _issuer.Claims()));

        var refusal = await Assert.ThrowsAsync<RpcException>(() => new AccessService.AccessServiceClient(channel).ListAccessKeysAsync(new() { Parent = "studios/alder" }).ResponseAsync);

        Assert.Equal("NOT_ALLOWED", refusal.Reason());
    }

    /// <summary>A node that cannot ask the issuer reads its keys from a file; the same token is good there, and no address is asked.</summary>
    [Fact]
    public async Task KeyFile_StandsForTheIssuer()
    {
        var file = Path.Combine(_node.Folder, "keys.json");
        await File.WriteAllTextAsync(file, _issuer.Keys());
        await _node.RestartAsync(null, $"--Access:Tokens:Authority={_issuer.Name}", $"--Access:Tokens:Audience={TokenIssuer.Audience}", $"--Access:Tokens:KeyFile={file}");

        Assert.Equal("Ivo", (await IdentifyAsync(_issuer.Signed(TokenIssuer.Header(), _issuer.Claims()))).DisplayName);
        Assert.Empty(_issuer.Asked);
    }

    [Fact]
    public async Task Token_WhereNoIssuerIsNamed_IsNotLetIn()
    {
        await _node.RestartAsync();

        var refusal = await Assert.ThrowsAsync<RpcException>(() => IdentifyAsync(_issuer.Signed(TokenIssuer.Header(), _issuer.Claims())));

        Assert.Equal("KEY_NOT_ACCEPTED", refusal.Reason());
    }

    private async Task<Identity> IdentifyAsync(string token)
    {
        using var channel = _node.OpenChannel(null);
        return await new AccessService.AccessServiceClient(channel).GetIdentityAsync(new(), new Metadata { { "authorization", $"Bearer {token}" } });
    }
}
