using System.Buffers.Text;
using System.Text;
using Grpc.Core;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Access;

/// <summary>What answers tell: no word of another site or studio, whichever call is read with whichever key.</summary>
public sealed class AccessLeakTests : IAsyncLifetime
{
    private AccessStudio _studio = null!;

    public async Task InitializeAsync() => _studio = await AccessStudio.StartAsync(stops: false);

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    [Theory]
    [InlineData("owner of north", "south", "birch")]
    [InlineData("owner of alder", "birch", "east/")]
    public async Task Answer_ToEveryRead_NamesNothingForeign(string key, params string[] foreign)
    {
        var told = 0;
        foreach (var call in AnyCall.All.Where(call => call.IsRead))
        {
            var (_, answer) = await call.SendAsync(_studio.With(key), call.Request(_ => AccessStudio.North));
            Assert.All(foreign, word => Assert.False(answer.Contains(word, StringComparison.Ordinal), $"{call.Path} tells of {word}: {answer}"));
            if (answer.Length > 2) told++;
        }
        Assert.True(told > 40, $"{told} answers");
    }

    /// <summary>What another site's key could ask for reads as what does not exist, word for word but for its name.</summary>
    [Theory]
    [InlineData("owner of north", "south", "nowhere")]
    [InlineData("owner of alder", "east", "east-nowhere")]
    public async Task Foreign_ReadsAsMissing(string key, string site, string missing)
    {
        foreach (var call in AnyCall.All.Where(call => call.IsRead))
        {
            var foreign = await call.SendAsync(_studio.With(key), call.Request(_ => site));
            var none = await call.SendAsync(_studio.With(key), call.Request(_ => missing));
            if (foreign.Refusal?.StatusCode == StatusCode.NotFound && none.Refusal is { } refusal)
                Assert.Equal(Told(refusal).Replace(missing, site, StringComparison.Ordinal), Told(foreign.Refusal));
        }
    }

    [Fact]
    public async Task List_OverPages_ShowsOwnThingsAlone_AndItsTokensNameNothing()
    {
        var pieces = new V1.PieceService.PieceServiceClient(_studio.With("device of north"));
        List<string> shown = [];
        var token = "";
        do
        {
            var page = await pieces.ListPiecesAsync(new() { Parent = "studios/alder", PageSize = 1, PageToken = token });
            shown.AddRange(page.Pieces.Select(piece => piece.Name));
            token = page.NextPageToken;
            Assert.DoesNotContain("piece", Encoding.Latin1.GetString(Base64Url.DecodeFromChars(token)), StringComparison.Ordinal);
        }
        while (token.Length > 0);

        Assert.Equal("studios/alder/pieces/north", Assert.Single(shown));
        var forged = await Assert.ThrowsAsync<RpcException>(() => pieces.ListPiecesAsync(new() { Parent = "studios/alder", PageToken = "c291dGg" }).ResponseAsync);
        Assert.Equal(StatusCode.InvalidArgument, forged.StatusCode);
    }

    private static string Told(RpcException refusal) => $"{refusal.StatusCode} {refusal.Status.Detail}";
}
