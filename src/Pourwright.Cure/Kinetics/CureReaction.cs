using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Kinetics;

/// <summary>The whole rate law of one resin: chemistry, its slowing by the glass, and the glass itself.</summary>
/// <remarks>
/// dα/dt = (1 − α)^n · slowed(k1 + k2 α^m). Rates are evaluated four nodes at a time; the public scalar goes the same way.
/// </remarks>
public sealed record CureReaction(KamalSourour Chemistry, DiffusionControl Diffusion, DiBenedetto Glass)
{
    /// <summary>Rate of conversion, in 1/s.</summary>
    public double RatePerSecond(double conversion, double kelvin) =>
        Rate(Vector256.Create(conversion), Vector256.Create(kelvin)).ToScalar();

    /// <summary>Rate of conversion in 1/s, with its slopes in 1/(s K) and in 1/s per unit conversion.</summary>
    public (double PerSecond, double PerSecondKelvin, double PerSecondConversion) RateWithSlopes(double conversion, double kelvin)
    {
        var (rate, perKelvin, perConversion) = RateAndSlopes(Vector256.Create(conversion), Vector256.Create(kelvin));
        return (rate.ToScalar(), perKelvin.ToScalar(), perConversion.ToScalar());
    }

    internal Lanes Rate(Lanes conversion, Lanes kelvin)
    {
        conversion = Physical(conversion);
        return Chemistry.Unreacted(conversion)
            * Diffusion.Slowed(Chemistry.Bracket(conversion, kelvin), conversion, kelvin, Glass);
    }

    internal (Lanes Rate, Lanes PerKelvin, Lanes PerConversion) RateAndSlopes(Lanes conversion, Lanes kelvin)
    {
        conversion = Physical(conversion);
        var (bracket, bracketPerKelvin, bracketPerConversion) = Chemistry.BracketWithSlopes(conversion, kelvin);
        var slowed = Diffusion.SlowedWithSlopes(bracket, conversion, kelvin, Glass);
        var unreacted = Chemistry.Unreacted(conversion);
        var rate = unreacted * slowed.Value;
        return (
            rate,
            unreacted * (slowed.PerBracket * bracketPerKelvin + slowed.PerKelvin),
            unreacted * (slowed.PerBracket * bracketPerConversion + slowed.PerConversion)
                - rate * Chemistry.UnreactedLogSlope(conversion));
    }

    // A stage of the integrator may overshoot the ends by a rounding; the law is defined on [0, 1] only.
    private static Lanes Physical(Lanes conversion) => Vector256.Clamp(conversion, Lanes.Zero, Lanes.One);
}
