using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper.Labels;
using Pourwright.Studio.Pieces;
using Pourwright.V1;

namespace Pourwright.Studio.Labels;

/// <summary>Decides what stands on a label: what holds as long as the label sticks, and nobody's name.</summary>
/// <remarks>Lots are left out: a top-up changes them, and the code leads to those that are in it.</remarks>
public static class WriteLabel
{
    public static Label Of(ContainerRecord container, AddressOptions options) => new(
        "Container", container.Label, options.Of(container.Name),
        [
            $"{PartOf(container.Part)}{(container.ResinSystem is { } system ? $" of {ResourceNames.IdOf(system)}" : "")}",
            "Gloves, glasses, fresh air.",
            "Read its safety data sheet first.",
        ]);

    /// <summary>Uncured resin is the danger of a piece, and nobody sees on it how far it is.</summary>
    public static Label Of(PieceRecord piece, AddressOptions options) => new(
        "Piece", piece.Label, options.Of(piece.Name),
        [
            ResourceNames.IdOf(piece.Name),
            "Gloves until it has cured: ask before you touch it.",
        ]);

    private static string PartOf(Part part) => part switch
    {
        Part.A => "Part A, resin",
        Part.B => "Part B, hardener",
        Part.Pigment => "Pigment, dye or filler",
        _ => "Contents not said",
    };
}
