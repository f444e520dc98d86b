using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Trace.TwoSites;

namespace Pourwright.Studio.Tests.Trace;

public sealed class WalkTests(TwoSites story) : IClassFixture<TwoSites>
{
    private readonly V1.TraceService.TraceServiceClient _traces = new(story.Harness.Channel);

    [Theory]
    [InlineData(One)]
    [InlineData(Two)]
    [InlineData(Three)]
    public async Task TraceOrigins_NamesTheLotsOfTheTrace(string piece)
    {
        var trace = await _traces.TracePieceAsync(new() { Name = piece });
        var origins = await _traces.TraceOriginsAsync(new() { Name = piece });

        Assert.Equal(
            trace.Pours.SelectMany(pour => pour.Draws.SelectMany(draw => draw.Lots.Select(lot => (lot.Name, draw.Draw.Container, pour.Mix.Name)))).Distinct().Order(),
            origins.Origins.Select(origin => (origin.Lot, origin.Container, origin.Mix)).Order());
    }

    [Fact]
    public async Task TraceOrigins_OfAPieceWithoutAPour_AreNone()
    {
        await new V1.PieceService.PieceServiceClient(story.Harness.Channel).CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name, PieceId = "bare", Piece = new() { Site = SampleStudio.North, Label = "bare" },
        });

        Assert.Empty((await _traces.TraceOriginsAsync(new() { Name = "studios/alder/pieces/bare" })).Origins);
        var refused = await Assert.ThrowsAsync<RpcException>(async () => await _traces.TraceOriginsAsync(new() { Name = "studios/alder/pieces/nobody" }));
        Assert.Equal((StatusCode.NotFound, "PIECE_NOT_FOUND"), (refused.StatusCode, refused.Reason()));
    }

    [Theory]
    [InlineData(Old)]
    [InlineData(New)]
    public async Task TraceReached_FromALot_NamesThePiecesOfItsTrace(string lot)
    {
        var trace = await _traces.TraceLotAsync(new() { Name = lot });

        Assert.Equal(
            trace.Pieces.Select(piece => (piece.Piece.Name, piece.Piece.Label, piece.Piece.State, piece.Holder, string.Join(' ', piece.Mixes))),
            (await ReachedAsync(lot)).Select(piece => (piece.Piece, piece.Label, piece.State, piece.Holder, string.Join(' ', piece.Mixes))));
    }

    // The new lot came into the container after the first mix: piece two has none of it.
    [Theory]
    [InlineData(New, One, Three)]
    [InlineData("studios/alder/containers/deep-a1", One, Three, Two)]
    [InlineData("studios/alder/containers/jug-a", Three)]
    [InlineData("studios/alder/mixes/before", One, Two)]
    [InlineData("studios/alder/mixes/after", One)]
    public async Task TraceReached_FollowsFillingsForwardInTime(string from, params string[] pieces) =>
        Assert.Equal(pieces, (await ReachedAsync(from)).Select(piece => piece.Piece));

    [Theory]
    [InlineData("studios/alder/lots/none", StatusCode.NotFound, "LOT_NOT_FOUND")]
    [InlineData("studios/alder/containers/none", StatusCode.NotFound, "CONTAINER_NOT_FOUND")]
    [InlineData("studios/alder/mixes/none", StatusCode.NotFound, "MIX_NOT_FOUND")]
    [InlineData("studios/alder/pieces/one", StatusCode.InvalidArgument, "FIELD_INVALID")]
    public async Task TraceReached_FromNothing_SaysSo(string from, StatusCode status, string reason)
    {
        var refused = await Assert.ThrowsAsync<RpcException>(() => ReachedAsync(from));

        Assert.Equal((status, reason), (refused.StatusCode, refused.Reason()));
    }

    private async Task<IReadOnlyList<ReachedPiece>> ReachedAsync(string from)
    {
        using var call = _traces.TraceReached(new() { Name = from });
        List<ReachedPiece> pieces = [];
        await foreach (var part in call.ResponseStream.ReadAllAsync()) pieces.AddRange(part.Pieces);
        return pieces;
    }
}
