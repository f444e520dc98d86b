using Pourwright.Studio.Names;
using Pourwright.V1;
using static Pourwright.Studio.Trace.TraceWords;

namespace Pourwright.Studio.Trace;

/// <summary>The family tree of a piece: its pours, their mixes, the containers, the lots.</summary>
public static class FamilyTree
{
    /// <param name="trace">The piece.</param>
    /// <param name="zone">Times in words are local.</param>
    public static Ancestor Of(PieceTrace trace, TimeZoneInfo zone) => new(
        trace.Piece.Name, $"Piece {trace.Piece.Label}", Id(trace.Piece.Name),
        [.. trace.Pours.Select(pour => Of(pour, zone, trace.TraceTime))], trace.Defects.Count > 0);

    private static Ancestor Of(PourTrace pour, TimeZoneInfo zone, Google.Protobuf.WellKnownTypes.Timestamp now) => new(
        pour.Pour.Name, $"Pour {pour.Pour.LayerCount}",
        $"{Grams(pour.Pour.MassMg)}, {Quantity(pour.Pour.DepthMm, "mm")} deep, {Brief(pour.Pour.PourTime, zone, now)}, {pour.Pour.Pourer}",
        [new(pour.Mix.Name, $"Mix {Id(pour.Mix.Name)}", $"{Brief(pour.Mix.MixTime, zone, now)}, {pour.Mix.Mixer}, hardener {Deviation(pour.Mix)}",
            [.. pour.Draws.Select(Of)])]);

    // A container before and after a top-up is not the same thing: its name goes with the lots that were in it.
    private static Ancestor Of(DrawTrace draw) => new(
        string.Join(' ', draw.Lots.Select(lot => lot.Name).Prepend(draw.Draw.Container)),
        Id(draw.Draw.Container), $"{TraceWords.Of(draw.Part)}, {Grams(draw.Draw.MassMg)}",
        [.. draw.Lots.Select(lot => new Ancestor(
            lot.Name, $"Lot {lot.SupplierLotCode}", OrUnknown(lot.Supplier) + (IsHeld(lot) ? ", held" : ""), [], IsHeld(lot)))]);

    private static bool IsHeld(Lot lot) => lot.State == Lot.Types.State.Held;

    private static string Id(string name) => ResourceNames.IdOf(name);
}
