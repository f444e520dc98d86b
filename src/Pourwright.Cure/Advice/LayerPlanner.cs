using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Advice;

/// <summary>One pour of a plan.</summary>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="DepthMm">Depth of this layer alone, in mm.</param>
/// <param name="Window">The window on the layer below in which it is poured; null for the first.</param>
/// <param name="Peak">Peak from this pour on, with its ψ.</param>
public sealed record PlannedPour(double AtHours, double DepthMm, LayerWindow? Window, PeakForecast Peak)
{
    /// <summary>When to pour: elapsed hours after the first pour, so a change of the clocks does not move it.</summary>
    public DateTimeOffset At(DateTimeOffset firstPour) => firstPour.AddHours(AtHours);
}

/// <summary>How a depth is reached, or why it is not.</summary>
public abstract record LayerPlan;

/// <summary>Pours in order, each under the limits and each in the window of the one below.</summary>
public sealed record Layers(IReadOnlyList<PlannedPour> Pours) : LayerPlan;

/// <summary>No number of layers up to the greatest allowed stays under the limits.</summary>
/// <remarks>Ways out: a cooler room, a slower resin, or layers that harden and are sanded in between.</remarks>
public sealed record TooHotInAnyLayers(int MostLayers) : LayerPlan;

/// <summary>A layer has no window for the next one: let it harden, sand it, and pour on the key.</summary>
/// <param name="Layer">The layer without a window, from 1.</param>
public sealed record NoWindow(int Layer) : LayerPlan;

/// <summary>A depth, split into equal layers.</summary>
public static class LayerPlanner
{
    /// <summary>Most layers that a plan may take: more is no class any longer (our choice).</summary>
    public const int MostLayers = 8;

    /// <summary>The fewest equal layers that stay under the limits, each poured when the window suits most draws.</summary>
    /// <param name="piece">Its first pour gives resin and temperature of every mix; its depth is left aside.</param>
    /// <param name="totalDepthMm">Depth of all layers together, in mm.</param>
    /// <param name="draws">What stands for all that the piece may be.</param>
    /// <param name="limits">What each pour must stay under.</param>
    /// <param name="deepest">The deepest first layer, where it is known already.</param>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static LayerPlan Plan(
        PieceCase piece, double totalDepthMm, PieceDraws? draws = null, PourLimits? limits = null, DepthLimit? deepest = null)
    {
        (draws, limits) = (draws ?? PieceDraws.Of(CureSpread.Default), limits ?? new());
        CureRangeException.Check("Total depth", totalDepthMm, 1, 600, "mm");
        var first = piece with { Layers = [piece.Layers[0]] };
        deepest ??= DeepestLayer.Of(first, draws, limits);
        for (var count = Fewest(totalDepthMm, deepest.DepthMm); count <= MostLayers; count++)
            if (Split(first, totalDepthMm, count, draws, limits) is { } plan)
                return plan;
        return new TooHotInAnyLayers(MostLayers);
    }

    /// <summary>A depth in a given number of equal layers; null as soon as a pour breaks the limits, where there are any.</summary>
    internal static LayerPlan? Split(
        PieceCase piece, double totalDepthMm, int count, PieceDraws draws, PourLimits? limits = null)
    {
        var (poured, pours) = (piece with { Layers = [] }, new List<PlannedPour>());
        LayerWindow? window = null;
        for (var i = 0; i < count; i++)
        {
            var at = window is null ? 0 : window.BestAtHours;
            if (at is null)
                return new NoWindow(i);
            poured = With(poured, piece.Layers[0] with { AtHours = at.Value, DepthMm = totalDepthMm / count });
            pours.Add(new(at.Value, totalDepthMm / count, window, DeepestLayer.Peak(poured, draws)));
            if (limits?.Hold(pours[^1].Peak) == false)
                return null;
            if (i + 1 < count)
                window = LadderForecaster.NextLayer(poured, draws);
        }
        return new Layers(pours);
    }

    // The horizon goes with the last pour, so that a late window is not cut off.
    private static PieceCase With(PieceCase piece, PouredLayer pour) => piece with
    {
        Layers = [.. piece.Layers, pour], HorizonHours = Math.Min(2000, pour.AtHours + 168),
    };

    private static int Fewest(double totalDepthMm, double deepestMm) =>
        deepestMm <= 0 ? MostLayers + 1 : Math.Max(1, (int)Math.Ceiling(totalDepthMm / deepestMm));
}
