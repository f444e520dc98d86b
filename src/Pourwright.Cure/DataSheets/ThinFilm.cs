using System.Runtime.Intrinsics;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.DataSheets;

/// <summary>A film so thin that it keeps the temperature of the room.</summary>
internal static class ThinFilm
{
    /// <summary>How far the glass transition climbs above the room before it stops the cure, in K.</summary>
    /// <remarks>Our choice, no source.</remarks>
    public const double GlassAboveRoomKelvin = 18;

    private const int Panels = 64;

    // Gauss–Legendre of four points on [−1, 1]: one panel is one set of lanes.
    private static readonly Vector256<double> Points =
        Vector256.Create(-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526);

    private static readonly Vector256<double> Weights =
        Vector256.Create(0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538);

    /// <summary>Time to a conversion at constant temperature, in h: t = ∫ dα/r(α, T) from 0.</summary>
    public static double HoursTo(double conversion, CureReaction reaction, double kelvin)
    {
        var (half, room) = (conversion / Panels / 2, Vector256.Create(kelvin));
        var sum = Vector256<double>.Zero;
        for (var panel = 0; panel < Panels; panel++)
            sum += Weights / reaction.Rate((Points + Vector256.Create(2.0 * panel + 1)) * half, room);
        return Vector256.Sum(sum) * half / 3600;
    }

    /// <summary>Conversion at which the cure stops at a temperature, without unit: Tg(α) = T + 18 K, at most 1.</summary>
    /// <remarks>DiBenedetto solved for α: with x = (T + 18 K − Tg0)/(Tg∞ − Tg0), α = x/(λ + (1 − λ) x).</remarks>
    public static double FinalConversion(DiBenedetto glass, double kelvin)
    {
        var x = (kelvin + GlassAboveRoomKelvin - glass.UncuredKelvin) / (glass.CuredKelvin - glass.UncuredKelvin);
        return Math.Min(1, x / (glass.Lambda + (1 - glass.Lambda) * x));
    }
}
