using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>Pours into pieces, gathered by piece.</summary>
public static class GatherReached
{
    /// <summary>Pieces a message: some 200 kB, far below the 4 MB that a client takes by default.</summary>
    public const int PartMax = 1000;

    /// <param name="rows">A row for each pour, those of a piece side by side.</param>
    public static IEnumerable<ReachedPiece> Decide(IEnumerable<ReachedRow> rows)
    {
        ReachedPiece? piece = null;
        foreach (var row in rows)
        {
            if (piece?.Piece != row.Name)
            {
                if (piece is not null) yield return piece;
                piece = Begin(row);
            }
            if (piece.Mixes.Count == 0 || piece.Mixes[^1] != row.Mix) piece.Mixes.Add(row.Mix);
        }
        if (piece is not null) yield return piece;
    }

    private static ReachedPiece Begin(ReachedRow row) => new()
    {
        Piece = row.Name, Label = row.Label, Site = row.Site, State = row.State, Holder = Holder(row.State, row.Maker, row.SiteDisplayName),
    };

    /// <summary>Who has a piece, in words.</summary>
    public static string Holder(Piece.Types.State state, string maker, string siteDisplayName) =>
        state != Piece.Types.State.HandedOver ? siteDisplayName
        : maker.Length > 0 ? maker
        : "its maker, whose name is not recorded";
}
