using Pourwright.Cure.Heat;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Advice;

/// <summary>What a pour must stay under.</summary>
/// <remarks>
/// Our choices. 80 °C: above it the engine's casting is on its way to a runaway; smoke and cracks come later, but the model's
/// peak is badly conditioned. The safety data sheet and the data sheet of the resin decide where they say less.
/// </remarks>
/// <param name="PeakCelsius">Greatest peak of the hot draws (95 %), in °C.</param>
/// <param name="RunawayMargin">Greatest ψ of <see cref="RunawayScreen"/>, without unit.</param>
/// <param name="DepthMm">Deepest layer that the data sheet allows, in mm; infinite where it says nothing.</param>
public sealed record PourLimits(
    double PeakCelsius = 80, double RunawayMargin = 0.40, double DepthMm = double.PositiveInfinity)
{
    internal bool Hold(PeakForecast peak) => peak.HighCelsius <= PeakCelsius && peak.RunawayMargin <= RunawayMargin;
}

/// <summary>What stops a layer from being deeper.</summary>
public enum DepthBound
{
    /// <summary>The peak of the hot draws.</summary>
    Peak,

    /// <summary>ψ.</summary>
    RunawayMargin,

    /// <summary>Nothing up to 150 mm, where the model ends.</summary>
    Model,

    /// <summary>The data sheet.</summary>
    DataSheet,
}

/// <summary>The deepest layer that stays under its limits.</summary>
/// <param name="DepthMm">In mm, to 0.1 mm below the limit; 0 = not even half a millimetre.</param>
/// <param name="BoundBy">What a deeper one would break first.</param>
/// <param name="Peak">Peak of that layer; of half a millimetre where the depth is 0.</param>
public sealed record DepthLimit(double DepthMm, DepthBound BoundBy, PeakForecast Peak);

/// <summary>How deep one may pour, here and now.</summary>
public static class DeepestLayer
{
    private const double LeastMm = 0.5;
    private const double MostMm = 150;
    private const double WithinMm = 0.1;

    // The peak of the slowest pour on record here (deep casting at 5 °C) comes after two days.
    private const double PeakWithinHours = 96;

    /// <summary>Greatest depth of the last pour of a piece, in mm; the depth given for it is left aside.</summary>
    /// <remarks>ψ grows in proportion to depth and bounds the search; below that, bisection on the engine.</remarks>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static DepthLimit Of(PieceCase piece, PieceDraws? draws = null, PourLimits? limits = null)
    {
        (draws, limits) = (draws ?? PieceDraws.Of(CureSpread.Default), limits ?? new());
        PieceRange.Check(WithLast(piece, LeastMm));
        var byMargin = limits.RunawayMargin / MarginPerMm(piece, draws.Likely) - UnreactedMmBelow(piece, draws.Likely);
        var (most, end) = limits.DepthMm <= MostMm ? (limits.DepthMm, DepthBound.DataSheet) : (MostMm, DepthBound.Model);
        var (deepest, bound) = byMargin < most ? (byMargin, DepthBound.RunawayMargin) : (most, end);
        if (deepest < LeastMm)
            return new(0, bound, Peak(WithLast(piece, LeastMm), draws));
        var peak = Peak(WithLast(piece, deepest), draws);
        return peak.HighCelsius <= limits.PeakCelsius
            ? new(deepest, bound, peak)
            : Bisect(piece, draws, limits, deepest);
    }

    /// <summary>Peak of a piece from its last pour on, with the ψ of that pour.</summary>
    /// <remarks>
    /// ψ counts the last pour whole and of each earlier one the part that has not reacted by then: 1 − α of its slowest point.
    /// That is less than the screen of a forecast, which counts all resin younger than a day as fresh.
    /// </remarks>
    internal static PeakForecast Peak(PieceCase piece, PieceDraws draws)
    {
        // Between walls of wood the middle alone decides.
        var soon = (piece.ChannelWidthMm is null ? piece : NarrowChannel.Core(piece)) with { HorizonHours = piece.Layers[^1].AtHours + PeakWithinHours };
        var margin = MarginPerMm(piece, draws.Likely) * (piece.Layers[^1].DepthMm + UnreactedMmBelow(piece, draws.Likely));
        return LadderForecaster.Peak(margin, LadderRun.Likely(soon, draws.Likely), LadderRun.Draws(soon, draws));
    }

    private static DepthLimit Bisect(PieceCase piece, PieceDraws draws, PourLimits limits, double tooDeepMm)
    {
        var (safeMm, safePeak) = (LeastMm, Peak(WithLast(piece, LeastMm), draws));
        if (!limits.Hold(safePeak))
            return new(0, DepthBound.Peak, safePeak);
        while (tooDeepMm - safeMm > WithinMm)
        {
            var middle = (safeMm + tooDeepMm) / 2;
            if (Peak(WithLast(piece, middle), draws) is var peak && limits.Hold(peak))
                (safeMm, safePeak) = (middle, peak);
            else
                tooDeepMm = middle;
        }
        return new(safeMm, DepthBound.Peak, safePeak);
    }

    private static double MarginPerMm(PieceCase piece, Departure likely)
    {
        var pour = piece.Layers[^1];
        var warmer = Math.Max(pour.TemperatureCelsius, PieceRun.AirCelsius(piece, pour.AtHours));
        return RunawayScreen.Psi(
            pour.Resin.Departed(likely), 1e-3, PieceRun.ZeroCelsius + warmer, PieceRun.FacesWPerM2K(piece.BoardThicknessMm));
    }

    private static double UnreactedMmBelow(PieceCase piece, Departure likely)
    {
        PouredLayer[] below = [.. piece.Layers.SkipLast(1)];
        if (below.Length == 0)
            return 0;
        var watch = new LadderWatch(PieceRun.Ambient(piece, likely.AmbientShiftKelvin, Detail.Coarse.AmbientWithinKelvin), piece.WorkKelvin);
        PieceRun.Solve(
            new CureSolver(Detail.Coarse.Tolerance), piece with { Layers = below, HorizonHours = piece.Layers[^1].AtHours },
            likely, Detail.Coarse, watch);
        return below.Zip(watch.End, (layer, end) => layer.DepthMm * (1 - end.LeastConversion)).Sum();
    }

    private static PieceCase WithLast(PieceCase piece, double depthMm) => piece with
    {
        Layers = [.. piece.Layers.SkipLast(1), piece.Layers[^1] with { DepthMm = depthMm }],
    };
}
