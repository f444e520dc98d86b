namespace Pourwright.Cure.Readiness;

/// <summary>When a gate opens, in h from the first pour: early, middle and late in the spread (5, 50 and 95 %).</summary>
/// <remarks>
/// Null means not inside the horizon. A gate is open from the last time on after which its condition holds for good.
/// </remarks>
public sealed record GateTimes(double? EarliestHours, double? LikelyHours, double? SafeHours);

/// <summary>How close a pour is to heating itself faster than it can cool.</summary>
public enum RunawayRisk
{
    /// <summary>ψ below 0.30.</summary>
    Mild,

    /// <summary>ψ from 0.30 to 0.45.</summary>
    Caution,

    /// <summary>ψ above 0.45: expect more than 80 °C, smoke and cracks.</summary>
    Runaway,
}

/// <summary>Hottest point of the resin.</summary>
/// <remarks>
/// A peak is badly conditioned: 10 % of reaction rate move it by some 7 K at 40 mm. Show the range, never the middle alone.
/// </remarks>
/// <param name="LowCelsius">5 % of the spread, in °C.</param>
/// <param name="LikelyCelsius">50 %, in °C.</param>
/// <param name="HighCelsius">95 %, in °C.</param>
/// <param name="LikelyAtHours">When, in the likely run, in h from the first pour.</param>
/// <param name="RunawayMargin">ψ of <see cref="RunawayScreen"/>, without unit; the greatest of all pours.</param>
/// <param name="Risk">The class of ψ.</param>
public sealed record PeakForecast(
    double LowCelsius, double LikelyCelsius, double HighCelsius, double LikelyAtHours, double RunawayMargin, RunawayRisk Risk);

/// <summary>One instant of the likely run, over the resin poured so far.</summary>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="BaseCelsius">Lower face of the resin, in °C.</param>
/// <param name="MiddleCelsius">Middle of its depth, in °C.</param>
/// <param name="TopCelsius">Upper face, in °C.</param>
/// <param name="LeastConversion">Least conversion, without unit.</param>
/// <param name="MostConversion">Greatest conversion, without unit.</param>
/// <param name="LeastTgMinusTKelvin">Least Tg − T, in K: demold from 0 K, handle from 10 K.</param>
public sealed record CureSample(
    double AtHours, double BaseCelsius, double MiddleCelsius, double TopCelsius,
    double LeastConversion, double MostConversion, double LeastTgMinusTKelvin);

/// <summary>What the engine says of a piece. A forecast is half of an answer: a touch test is the other half.</summary>
/// <param name="ModelRevision">The resin models that made it, one for each pour where they differ.</param>
/// <param name="Gel">The last point has gelled: conversion 0.577 everywhere.</param>
/// <param name="Demold">Tg − T ≥ 0 K everywhere, for good.</param>
/// <param name="Handle">Tg − T ≥ 10 K everywhere, for good.</param>
/// <param name="Peak">Hottest point.</param>
/// <param name="LeastConversionAtHorizon">Least conversion at the end of the likely run, without unit.</param>
/// <param name="LikelyCourse">The likely run, sampled.</param>
public sealed record PieceForecast(
    string ModelRevision, GateTimes Gel, GateTimes Demold, GateTimes Handle, PeakForecast Peak,
    double LeastConversionAtHorizon, IReadOnlyList<CureSample> LikelyCourse);
