using Pourwright.V1;

namespace Pourwright.Pages.Serving;

/// <summary>Poured pieces that their makers do not have yet.</summary>
public static class PiecesInHouse
{
    /// <param name="site">Only those there; all of the studio where empty.</param>
    /// <param name="castingClass">Only those of this class, by name; all where empty. Readiness is asked piece by piece, and of no other.</param>
    public static async Task<List<(Piece Piece, PieceReadiness Readiness)>> LoadAsync(
        StudioNode node, string studio, string site, string castingClass, CancellationToken ct)
    {
        List<(Piece, PieceReadiness)> pieces = [];
        foreach (var state in (Piece.Types.State[])[Piece.Types.State.Curing, Piece.Types.State.Demolded])
            foreach (var piece in (await ListAsync(node, studio, site, state, ct)).Where(piece => castingClass.Length == 0 || piece.CastingClass == castingClass))
                pieces.Add((piece, await node.Forecasts.GetReadinessAsync(new() { Name = piece.Name }, cancellationToken: ct)));
        return pieces;
    }

    /// <summary>The pieces of a state, all of them.</summary>
    public static Task<List<Piece>> ListAsync(StudioNode node, string studio, string site, Piece.Types.State state, CancellationToken ct) =>
        Lists.AllAsync<Piece>(async token =>
        {
            var page = await node.Pieces.ListPiecesAsync(
                new() { Parent = studio, Site = site, State = state, PageSize = Lists.PageSize, PageToken = token }, cancellationToken: ct);
            return (page.Pieces, page.NextPageToken);
        });
}
