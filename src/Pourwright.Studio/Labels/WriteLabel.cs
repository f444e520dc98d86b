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
    public static Label Of(ContainerRecord container, LabelOptions options) => new(
        "Container", container.Label, AddressOf(container.Name, options),
        [
            $"{PartOf(container.Part)}{(container.ResinSystem is { } system ? $" of {ResourceNames.IdOf(system)}" : "")}",
            "Gloves, glasses, fresh air.",
            "Read its safety data sheet first.",
        ]);

    /// <summary>Uncured resin is the danger of a piece, and nobody sees on it how far it is.</summary>
    public static Label Of(PieceRecord piece, LabelOptions options) => new(
        "Piece", piece.Label, AddressOf(piece.Name, options),
        [
            ResourceNames.IdOf(piece.Name),
            "Gloves until it has cured: ask before you touch it.",
        ]);

    /// <summary>Where the thing is told of, or its name where the studio has no address.</summary>
    private static string AddressOf(string name, LabelOptions options) =>
        options.Address is { } address ? new Uri(address, $"/v1/{name}").AbsoluteUri : name;

    private static string PartOf(Part part) => part switch
    {
        Part.A => "Part A, resin",
        Part.B => "Part B, hardener",
        Part.Pigment => "Pigment, dye or filler",
        _ => "Contents not said",
    };
}
