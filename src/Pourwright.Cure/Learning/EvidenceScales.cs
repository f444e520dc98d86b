namespace Pourwright.Cure.Learning;

/// <summary>How surely a check tells the state of a piece: the scales of people and instruments.</summary>
/// <remarks>
/// Every number is a starting value without source, to be fitted to a studio's own checks, unless it says otherwise.
/// </remarks>
public sealed record EvidenceScales
{
    /// <summary>Least Tg − T at which half of the touches no longer stick, in K.</summary>
    public double TackyBelowKelvin { get; init; } = -18;

    /// <summary>Least Tg − T at which half of the nails leave no mark, in K.</summary>
    public double FirmFromKelvin { get; init; }

    /// <summary>Standard deviation between one touch and the next, in K.</summary>
    public double TouchSdKelvin { get; init; } = 4;

    /// <summary>Shore D of the fully hardened resin, from its data sheet.</summary>
    public double FinalShoreD { get; init; } = 80;

    /// <summary>Tg − T of the surface at half the final Shore D, in K, with its sign turned.</summary>
    public double ShoreOffsetKelvin { get; init; }

    /// <summary>How slowly Shore D rises with Tg − T of the surface, in K.</summary>
    public double ShoreWidthKelvin { get; init; } = 12;

    /// <summary>Standard deviation of a Shore D reading.</summary>
    public double ShoreSd { get; init; } = 4;

    /// <summary>
    /// Standard deviation of a surface temperature, in K: √(1.5² + 3²), instrument and model.
    /// </summary>
    public double SurfaceSdKelvin { get; init; } = 3.354;

    /// <summary>Standard deviation of the logarithm of the time at which a person calls a gate open.</summary>
    public double ReadyLnSd { get; init; } = 0.12;

    /// <summary>Share of checks that say nothing: another piece was touched, a digit slipped.</summary>
    /// <remarks>Keeps one false entry from outvoting all others: no check can weigh more than about 1 to this share.</remarks>
    public double LapseShare { get; init; } = 0.01;

    /// <summary>Expected Shore D of a surface: D∞ Φ((Tg − T + b)/w).</summary>
    public double ShoreD(double surfaceTgMinusTKelvin) =>
        FinalShoreD * Normal.Cdf((surfaceTgMinusTKelvin + ShoreOffsetKelvin) / ShoreWidthKelvin);

    /// <summary>A likelihood that allows for lapses, and what a lapse would say by chance, in the same unit.</summary>
    internal double WithLapses(double likelihood, double byChance) => (1 - LapseShare) * likelihood + LapseShare * byChance;

    internal void Check()
    {
        CureRangeException.Check("Firm from (above tacky below)", FirmFromKelvin, TackyBelowKelvin, 50, "K");
        CureRangeException.Check("Tacky below", TackyBelowKelvin, -100, 50, "K");
        CureRangeException.Check("Spread of a touch", TouchSdKelvin, 0.1, 50, "K");
        CureRangeException.Check("Final Shore D", FinalShoreD, 10, 100, "");
        CureRangeException.Check("Offset of Shore D", ShoreOffsetKelvin, -50, 50, "K");
        CureRangeException.Check("Width of Shore D", ShoreWidthKelvin, 1, 100, "K");
        CureRangeException.Check("Spread of Shore D", ShoreSd, 0.1, 50, "");
        CureRangeException.Check("Spread of a surface temperature", SurfaceSdKelvin, 0.1, 50, "K");
        CureRangeException.Check("Spread of calling a gate open", ReadyLnSd, 0.01, 2, "");
        CureRangeException.Check("Share of lapses", LapseShare, 0, 0.5, "");
    }
}
