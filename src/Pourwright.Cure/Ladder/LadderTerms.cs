using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Ladder;

/// <summary>The rungs of a piece, in the order in which they are usually climbed.</summary>
public enum LadderGate
{
    /// <summary>The first point of the last pour no longer flows: conversion 0.577 somewhere.</summary>
    FirstGel,

    /// <summary>The last point no longer flows: conversion 0.577 everywhere.</summary>
    Gel,

    /// <summary>It leaves its mould: Tg − T ≥ 0 K everywhere, for good.</summary>
    Demold,

    /// <summary>It goes over saw and planer: Tg − T ≥ 10 K.</summary>
    Handle,

    /// <summary>It dusts under the disc and does not ball up: Tg − T ≥ 15 K.</summary>
    Sand,

    /// <summary>It is as hard as this room makes it: 0.98 of the final conversion at its temperature.</summary>
    FullCure,
}

/// <summary>The numbers that define the rungs.</summary>
/// <remarks>All but the gel point are our choices, to be fitted to checks of a site; none has a measured source.</remarks>
public static class LadderTerms
{
    /// <summary>A next layer may be poured when every point is this close to the air, in K (our choice).</summary>
    public const double WindowOpensWithinKelvin = 5;

    /// <summary>
    /// Conversion of the top face at which a next layer no longer bonds chemically, without unit (our choice, no source).
    /// </summary>
    /// <remarks>That a new layer bonds only to a partly cured one is common practice; where that ends is our guess.</remarks>
    public const double WindowClosesAtConversion = 0.75;

    /// <summary>Sanding begins this far below the glass transition, in K (our choice).</summary>
    public const double SandKelvin = 15;

    /// <summary>Cure ends where the glass transition stands this far above the room, in K (our choice).</summary>
    /// <remarks>About 15 K is a rule of thumb for room cures (common practice, no source).</remarks>
    public const double FinalTgAboveRoomKelvin = 18;

    /// <summary>Share of the final conversion that counts as full cure, without unit (our choice).</summary>
    public const double FullCureShare = 0.98;

    /// <summary>What would take longer than this after the horizon does not happen, in h: 60 days (our choice).</summary>
    public const double StallHours = 60 * 24;

    /// <summary>Conversion that a point at a temperature in K must reach for a gate, without unit.</summary>
    /// <remarks>Above 1 where it never can.</remarks>
    public static double Conversion(LadderGate gate, DiBenedetto glass, double kelvin) => gate switch
    {
        LadderGate.FirstGel or LadderGate.Gel => GelPoint.DiepoxideDiamine,
        LadderGate.Demold => glass.Conversion(kelvin),
        LadderGate.Handle => glass.Conversion(kelvin + Readiness.GateWatch.HandleKelvin),
        LadderGate.Sand => glass.Conversion(kelvin + SandKelvin),
        _ => FullCureShare * Math.Min(1, glass.Conversion(kelvin + FinalTgAboveRoomKelvin)),
    };
}
