using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Advice;

/// <summary>A round vessel in which a batch waits to be poured.</summary>
/// <param name="DiameterMm">Inner diameter, in mm.</param>
/// <param name="HeightMm">Inner height, in mm.</param>
/// <param name="LossWPerM2K">
/// Loss through base, wetted wall and surface, in W/(m² K): free convection and radiation, 5–10 is usual (from memory, not
/// re-checked).
/// </param>
public sealed record MixVessel(double DiameterMm, double HeightMm, double LossWPerM2K = 8)
{
    private double BaseSquareMetres => Math.PI / 4 * DiameterMm * DiameterMm * 1e-6;

    /// <summary>Volume filled to the brim, in m³.</summary>
    public double CubicMetres => BaseSquareMetres * HeightMm / 1000;

    /// <summary>Surface of a volume in it, in m²: πD²/2 + 4V/D.</summary>
    public double SquareMetres(double cubicMetres) => 2 * BaseSquareMetres + 4 * cubicMetres / (DiameterMm / 1000);
}

/// <summary>How long a batch can be poured.</summary>
/// <param name="Hours">From the end of mixing to conversion 0.20, in h.</param>
/// <param name="EndCelsius">Mean temperature of the batch then, in °C.</param>
public sealed record WorkingTime(double Hours, double EndCelsius);

/// <summary>What stops a batch from being larger.</summary>
public enum BatchBound
{
    /// <summary>A larger one heats itself sooner than the work takes.</summary>
    WorkingTime,

    /// <summary>The vessel is full.</summary>
    Vessel,
}

/// <summary>The largest batch that can be poured in time.</summary>
/// <param name="MassMg">In mg; 0 = not even a gram lasts that long.</param>
/// <param name="BoundBy">What a larger one would break.</param>
/// <param name="Time">Working time of that batch; of one gram where the mass is 0.</param>
public sealed record BatchLimit(long MassMg, BatchBound BoundBy, WorkingTime Time);

/// <summary>Self-heating of a batch in its vessel.</summary>
/// <remarks>
/// Lumped: m c dT/dt = m H r(α, T) − h A (T − T_air), dα/dt = r, from α = 0 to 0.20 (our choice for the end of pouring). α
/// takes the place of time, dt/dα = 1/r and dT/dα = H/c − h A (T − T_air)/(m c r), by Runge–Kutta of order 4: the reaction
/// never stands still on the way. One temperature for the whole batch: its middle is hotter and gels sooner than the mean says,
/// so stay well inside. Leftovers belong in shallow trays, watched, outdoors: a batch left in its pot can smoke
/// and burn. The safety data sheet and local code decide.
/// </remarks>
public static class BatchHeat
{
    /// <summary>Conversion at which a mix no longer pours well, without unit (our choice).</summary>
    public const double PouringEndsAtConversion = 0.20;

    private const int LeastSlices = 400;
    private const int MostSlices = 200_000;
    private const long GramMg = 1000;

    /// <summary>Working time of a batch.</summary>
    /// <param name="resin">The mix.</param>
    /// <param name="massMg">Mass of the batch, in mg.</param>
    /// <param name="vessel">What it stands in.</param>
    /// <param name="mixCelsius">Temperature after mixing, in °C.</param>
    /// <param name="roomCelsius">Air around the vessel, in °C.</param>
    /// <exception cref="CureRangeException">More than the vessel holds, or a number out of range.</exception>
    public static WorkingTime Of(ResinCureModel resin, long massMg, MixVessel vessel, double mixCelsius, double roomCelsius)
    {
        Check(resin, vessel, mixCelsius, roomCelsius);
        CureRangeException.Check("Mass of the batch", massMg / 1e6, GramMg / 1e6, BrimMg(resin, vessel) / 1e6, "kg");
        return Solve(resin, massMg, vessel, mixCelsius + PieceRun.ZeroCelsius, roomCelsius + PieceRun.ZeroCelsius);
    }

    /// <summary>The largest batch whose working time is at least the one wanted, in h.</summary>
    /// <exception cref="CureRangeException">A number is out of range.</exception>
    public static BatchLimit Largest(
        ResinCureModel resin, MixVessel vessel, double mixCelsius, double roomCelsius, double wantedHours)
    {
        CureRangeException.Check("Working time", wantedHours, 0.02, 48, "h");
        WorkingTime Time(long massMg) => Of(resin, massMg, vessel, mixCelsius, roomCelsius);
        var (fits, tooMuch) = (GramMg, BrimMg(resin, vessel));
        if (Time(tooMuch) is var full && full.Hours >= wantedHours)
            return new(tooMuch, BatchBound.Vessel, full);
        if (Time(fits) is var least && least.Hours < wantedHours)
            return new(0, BatchBound.WorkingTime, least);
        while (tooMuch - fits > GramMg)
        {
            var middle = (fits + tooMuch) / 2;
            (fits, tooMuch) = Time(middle).Hours >= wantedHours ? (middle, tooMuch) : (fits, middle);
        }
        return new(fits, BatchBound.WorkingTime, Time(fits));
    }

    private static long BrimMg(ResinCureModel resin, MixVessel vessel) =>
        (long)(vessel.CubicMetres * resin.DensityKgPerM3 * 1e6);

    private static void Check(ResinCureModel resin, MixVessel vessel, double mixCelsius, double roomCelsius)
    {
        CureRangeException.Check("Diameter of the vessel", vessel.DiameterMm, 30, 800, "mm");
        CureRangeException.Check("Height of the vessel", vessel.HeightMm, 20, 800, "mm");
        CureRangeException.Check("Loss of the vessel", vessel.LossWPerM2K, 0, 1000, "W/(m² K)");
        CureRangeException.Check("Temperature of the mix", mixCelsius, 5, 60, "°C");
        CureRangeException.Check("Ambient temperature", roomCelsius, -10, 50, "°C");
        CureRangeException.Check("Rate constant k1", resin.Reaction.Chemistry.K1PerSecond, 1e-9, 1e-2, "1/s");
    }

    private static WorkingTime Solve(ResinCureModel resin, long massMg, MixVessel vessel, double kelvin, double roomKelvin)
    {
        var kilograms = massMg / 1e6;
        var loss = vessel.LossWPerM2K * vessel.SquareMetres(kilograms / resin.DensityKgPerM3)
            / (kilograms * resin.SpecificHeatJPerKgK);
        var rise = resin.HeatOfReactionJPerKg / resin.SpecificHeatJPerKgK;
        (double Seconds, double Kelvin) Slope(double conversion, double at)
        {
            var rate = resin.Reaction.RatePerSecond(conversion, at);
            return (1 / rate, rise - loss * (at - roomKelvin) / rate);
        }
        var slices = Slices(loss / resin.Reaction.RatePerSecond(0, Math.Min(kelvin, roomKelvin)));
        var (seconds, h) = (0.0, PouringEndsAtConversion / slices);
        for (var i = 0; i < slices; i++)
        {
            var one = Slope(i * h, kelvin);
            var two = Slope((i + 0.5) * h, kelvin + h / 2 * one.Kelvin);
            var three = Slope((i + 0.5) * h, kelvin + h / 2 * two.Kelvin);
            var four = Slope((i + 1) * h, kelvin + h * three.Kelvin);
            seconds += h / 6 * (one.Seconds + 2 * two.Seconds + 2 * three.Seconds + four.Seconds);
            kelvin += h / 6 * (one.Kelvin + 2 * two.Kelvin + 2 * three.Kelvin + four.Kelvin);
        }
        return new(seconds / 3600, kelvin - PieceRun.ZeroCelsius);
    }

    // Stable while loss/rate times a slice stays under 2.8; half a unit keeps it accurate too.
    private static int Slices(double lossPerConversion) =>
        (int)Math.Clamp(2 * PouringEndsAtConversion * lossPerConversion, LeastSlices, MostSlices);
}
