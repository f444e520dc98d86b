using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>Wood in a mould becomes a piece with a label.</summary>
public static class CreatePiece
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CreatePieceRequest request)
    {
        var piece = request.Piece ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("piece_id", request.PieceId)
            .Name("piece.site", piece.Site, ResourceKind.Site, request.Parent)
            .Text("piece.label", piece.Label, 40)
            .Text("piece.maker", piece.Maker, 80, 0)
            .Text("piece.casting_class", piece.CastingClass, NamesClass(piece) ? 200 : 80, 0)
            .Text("piece.mould", piece.Mould, 80, 0)
            .Text("piece.wood_species", piece.WoodSpecies, 80, 0)
            .OptionalTime("piece.planned_session_time", piece.PlannedSessionTime);
        if (NamesClass(piece)) checks.Name("piece.casting_class", piece.CastingClass, ResourceKind.CastingClass, request.Parent);
        if (piece.HasWoodMoisturePercent) checks.Within("piece.wood_moisture_percent", piece.WoodMoisturePercent, 0, 60, "%");
        if (piece.HasChannelWidthMm) checks.Within("piece.channel_width_mm", piece.ChannelWidthMm, 5, 5000, "mm");
        checks.ThrowIfAny();
    }

    /// <summary>It says a class by name, not in the studio's own words.</summary>
    public static bool NamesClass(Piece piece) => piece.CastingClass.StartsWith("studios/", StringComparison.Ordinal);

    /// <param name="name">Of the new piece.</param>
    /// <param name="piece">As asked for; its shape was checked.</param>
    /// <param name="classDisplayName">What people call its class; empty where it names none.</param>
    public static PieceRecord Decide(string name, Piece piece, string classDisplayName) => new()
    {
        Name = name,
        Studio = ResourceNames.StudioOf(name),
        Site = piece.Site,
        Label = piece.Label,
        Maker = piece.Maker,
        CastingClass = piece.CastingClass,
        CastingClassDisplayName = classDisplayName,
        Mould = piece.Mould,
        WoodSpecies = piece.WoodSpecies,
        WoodMoisturePercent = piece.HasWoodMoisturePercent ? piece.WoodMoisturePercent : null,
        ChannelWidthMm = piece.HasChannelWidthMm ? piece.ChannelWidthMm : null,
        PlannedSessionMs = piece.PlannedSessionTime.ToUnixMsOrNull(),
        State = Piece.Types.State.Prepared,
    };
}
