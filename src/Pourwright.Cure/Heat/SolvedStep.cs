using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Heat;

/// <summary>Sees every accepted step of a run, in order.</summary>
public interface IStepWatch
{
    /// <summary>Called once a step; the step is valid during the call only.</summary>
    void Saw(SolvedStep solved);
}

/// <summary>Extremes over the resin at one instant: conversion without unit, temperatures in K.</summary>
/// <remarks>From Tg − T = 0 K up, the whole resin is glass.</remarks>
public readonly record struct ResinExtremes(
    double LeastConversion, double MostConversion, double LeastTgMinusTKelvin, double LeastTgKelvin, double HottestKelvin)
{
    /// <summary>Least Tg − max(T, work), in K: how hard it is where it is brought into a room as warm as the work.</summary>
    /// <remarks>Tg − max(T, w) = min(Tg − T, Tg − w) at every point.</remarks>
    public double LeastTgOver(double workKelvin) => Math.Min(LeastTgMinusTKelvin, LeastTgKelvin - workKelvin);
}

/// <summary>
/// One accepted step, readable at any instant inside it; <c>fraction</c> runs from 0 at its start to 1 at its end.
/// </summary>
/// <remarks>
/// Between the ends: cubic Hermite on values and derivatives; conversion never falls in it, and temperature is kept from what a
/// derivative that dies within the step would make of it.
/// </remarks>
public sealed class SolvedStep
{
    private NodeState before;
    private NodeState after;

    internal SolvedStep(Slab slab, NodeState before, NodeState after) => (Slab, this.before, this.after) = (slab, before, after);

    /// <summary>The slab that was stepped.</summary>
    public Slab Slab { get; }

    /// <summary>Start of the step, in s from the first pour.</summary>
    public double FromSeconds { get; private set; }

    /// <summary>Length of the step, in s.</summary>
    public double LengthSeconds { get; private set; }

    /// <summary>End of the step, in s from the first pour.</summary>
    public double ToSeconds => FromSeconds + LengthSeconds;

    /// <summary>Temperature of a node, in K.</summary>
    public double Kelvin(int node, double fraction) => KelvinOf(node, new(fraction, LengthSeconds)).ToScalar();

    /// <summary>Conversion of a node, without unit, 0 to 1.</summary>
    public double Conversion(int node, double fraction) => ConversionOf(node, new(fraction, LengthSeconds)).ToScalar();

    /// <summary>Rate of warming of a node at the start of the step, in K/s.</summary>
    public double StartKelvinPerSecond(int node) => before.Flux[node] / Slab.Capacity[node];

    /// <summary>Rate of warming of a node at the end of the step, in K/s.</summary>
    public double EndKelvinPerSecond(int node) => after.Flux[node] / Slab.Capacity[node];

    /// <summary>Extremes over all nodes of resin.</summary>
    public ResinExtremes Extremes(double fraction)
    {
        var hermite = new Hermite(fraction, LengthSeconds);
        var (least, most, hottest) = (Lanes.One, Lanes.Zero, Lanes.Zero);
        var (leastMargin, leastGlass) = (Vector256.Create(double.MaxValue), Vector256.Create(double.MaxValue));
        foreach (var layer in Slab.PlacedLayers)
        {
            if (layer.Layer.Material.Reaction is not { } reaction)
                continue;
            for (var first = layer.First; first < layer.End; first += Lane.Width)
            {
                var node = Math.Min(first, layer.End - Lane.Width); // the last four overlap the ones before: extremes do not mind
                var (kelvin, conversion) = (KelvinOf(node, hermite), ConversionOf(node, hermite));
                least = Vector256.Min(least, conversion);
                most = Vector256.Max(most, conversion);
                var glass = reaction.Glass.Kelvin(conversion);
                leastGlass = Vector256.Min(leastGlass, glass);
                leastMargin = Vector256.Min(leastMargin, glass - kelvin);
                hottest = Vector256.Max(hottest, kelvin);
            }
        }
        return new(Lane.Least(least), Lane.Most(most), Lane.Least(leastMargin), Lane.Least(leastGlass), Lane.Most(hottest));
    }

    /// <summary>The hottest node of resin.</summary>
    public int HottestNode(double fraction)
    {
        var hermite = new Hermite(fraction, LengthSeconds);
        var (hottest, kelvin) = (-1, 0.0);
        foreach (var layer in Slab.PlacedLayers)
            for (var node = layer.First; layer.IsResin && node < layer.End; node++)
                if (KelvinOf(node, hermite).ToScalar() is var here && here > kelvin)
                    (hottest, kelvin) = (node, here);
        return hottest;
    }

    internal void Set(NodeState before, NodeState after, double fromSeconds, double lengthSeconds) =>
        (this.before, this.after, FromSeconds, LengthSeconds) = (before, after, fromSeconds, lengthSeconds);

    // A cubic bends off its chord alike at both ends, to a factor. Where one slope departs from the chord more than three times
    // as far as the other, it belongs to something that dies early in the step, such as the jump of a face just poured, and would
    // carry the cubic far past both ends: it is held to three times the other.
    private Lanes KelvinOf(int node, Hermite hermite)
    {
        var (from, capacity) = (Lane.Of(before.Kelvin, node), Lane.Of(Slab.Capacity, node));
        var risen = Lane.Of(after.Kelvin, node) - from;
        var chord = risen * (1 / LengthSeconds);
        var (start, end) = (Lane.Of(before.Flux, node) / capacity - chord, Lane.Of(after.Flux, node) / capacity - chord);
        var (mostStart, mostEnd) = (Vector256.Abs(end) * 3, Vector256.Abs(start) * 3);
        return from + risen * hermite.At
            + Vector256.Clamp(start, -mostStart, mostStart) * hermite.SlopeFrom
            + Vector256.Clamp(end, -mostEnd, mostEnd) * hermite.SlopeTo;
    }

    // Slopes of at most three chords keep the curve between its ends and rising [FritschCarlson1980]: cure does not run
    // backwards.
    private Lanes ConversionOf(int node, Hermite hermite)
    {
        var (from, to) = (Lane.Of(before.Conversion, node), Lane.Of(after.Conversion, node));
        var steepest = (to - from) * (3 / LengthSeconds);
        var curve = from * hermite.From + to * hermite.To
            + Vector256.Min(Lane.Of(before.Rate, node), steepest) * hermite.SlopeFrom
            + Vector256.Min(Lane.Of(after.Rate, node), steepest) * hermite.SlopeTo;
        return Vector256.Clamp(curve, from, to);
    }

    // Weights of the two values and of the two derivatives.
    private readonly record struct Hermite(double At, double From, double To, double SlopeFrom, double SlopeTo)
    {
        public Hermite(double at, double length)
            : this(
                at,
                (1 - at) * (1 - at) * (1 + 2 * at), at * at * (3 - 2 * at),
                length * at * (1 - at) * (1 - at), length * at * at * (at - 1))
        {
        }
    }
}
