using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Kinetics;

/// <summary>How far the approaching glass slows the chemistry.</summary>
/// <remarks>
/// A resin that hardens below its final Tg∞ never reaches full conversion at room temperature: this term is why.
/// </remarks>
public abstract record DiffusionControl
{
    private protected DiffusionControl() { }

    /// <summary>The chemical bracket after diffusion, in 1/s.</summary>
    internal abstract Lanes Slowed(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass);

    /// <summary>
    /// The slowed bracket in 1/s; its slope by the chemical bracket; and by temperature and conversion at fixed bracket.
    /// </summary>
    internal abstract SlowedBracket SlowedWithSlopes(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass);
}

internal readonly record struct SlowedBracket(Lanes Value, Lanes PerBracket, Lanes PerKelvin, Lanes PerConversion);

/// <summary>Chemistry alone: for cures well above Tg∞, and for closed-form checks.</summary>
public sealed record NoDiffusionControl : DiffusionControl
{
    internal override Lanes Slowed(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass) => bracket;

    internal override SlowedBracket SlowedWithSlopes(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass) =>
        new(bracket, Lanes.One, Lanes.Zero, Lanes.Zero);
}

/// <summary>Chemistry and diffusion as two resistances in series.</summary>
/// <remarks>
/// 1/k = 1/k_c + 1/k_d [Rabinowitch1937], k_d = k_d0 exp(−E_d/RT) exp(−b/f), with the free volume
/// f = 4.8e-4 (T − Tg) + 0.025 in the form used by [WisanrakkitGillham1990] and [SimonGillham1993].
/// f is held at <paramref name="LeastFreeVolume"/> deep in the glass, where the line would cross zero (our choice).
/// Range: from the liquid to about 45 K below Tg, where f reaches its floor.
/// </remarks>
/// <param name="Kd0PerSecond">k_d0, in 1/s.</param>
/// <param name="EdJoulesPerMole">E_d, in J/mol.</param>
/// <param name="B">b, without unit.</param>
/// <param name="FreeVolumePerKelvin">Slope of the free volume above Tg, in 1/K.</param>
/// <param name="FreeVolumeAtGlass">Free volume at Tg, without unit.</param>
/// <param name="LeastFreeVolume">Floor of the free volume, without unit.</param>
public sealed record Rabinowitch(
    double Kd0PerSecond, double EdJoulesPerMole, double B,
    double FreeVolumePerKelvin = 4.8e-4, double FreeVolumeAtGlass = 0.025, double LeastFreeVolume = 0.002) : DiffusionControl
{
    internal override Lanes Slowed(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass)
    {
        var diffusion = DiffusionRate(FreeVolume(conversion, kelvin, glass), kelvin);
        return bracket * diffusion / (bracket + diffusion);
    }

    internal override SlowedBracket SlowedWithSlopes(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass)
    {
        var freeVolume = FreeVolume(conversion, kelvin, glass);
        var diffusion = DiffusionRate(freeVolume, kelvin);
        var share = diffusion / (bracket + diffusion);
        var perDiffusion = (Lanes.One - share) * (Lanes.One - share);

        // dk_d/df · df/dT, zero where the floor holds f.
        var above = Vector256.GreaterThan(freeVolume, Vector256.Create(LeastFreeVolume));
        var byFreeVolume = diffusion * (B * FreeVolumePerKelvin) / (freeVolume * freeVolume) & above;
        var byArrhenius = diffusion * (EdJoulesPerMole / KamalSourour.GasConstant) / (kelvin * kelvin);
        return new(
            bracket * share, share * share, perDiffusion * (byFreeVolume + byArrhenius),
            -perDiffusion * byFreeVolume * glass.KelvinPerConversion(conversion));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes FreeVolume(Lanes conversion, Lanes kelvin, DiBenedetto glass) => Vector256.Max(
        (kelvin - glass.Kelvin(conversion)) * FreeVolumePerKelvin + Vector256.Create(FreeVolumeAtGlass),
        Vector256.Create(LeastFreeVolume));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Lanes DiffusionRate(Lanes freeVolume, Lanes kelvin)
    {
        var exponent = Vector256.Create(-B) / freeVolume;
        if (EdJoulesPerMole != 0)
            exponent -= Vector256.Create(EdJoulesPerMole / KamalSourour.GasConstant) / kelvin;
        return Vector256.Exp(exponent) * Kd0PerSecond;
    }
}

/// <summary>Chemistry switched off smoothly at a critical conversion that rises with temperature.</summary>
/// <remarks>
/// Factor 1/(1 + exp(C (α − α_c))), α_c = α_c0 + α_cT T [ChernPoehlein1987]. Range: that of the fit it came from.
/// </remarks>
/// <param name="Sharpness">C, without unit.</param>
/// <param name="CriticalConversionAtZeroKelvin">α_c0, without unit.</param>
/// <param name="CriticalConversionPerKelvin">α_cT, in 1/K.</param>
public sealed record ChernPoehlein(
    double Sharpness, double CriticalConversionAtZeroKelvin, double CriticalConversionPerKelvin) : DiffusionControl
{
    internal override Lanes Slowed(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass) =>
        bracket * Factor(conversion, kelvin);

    internal override SlowedBracket SlowedWithSlopes(Lanes bracket, Lanes conversion, Lanes kelvin, DiBenedetto glass)
    {
        var factor = Factor(conversion, kelvin);
        var perConversion = bracket * factor * (factor - Lanes.One) * Sharpness;
        return new(bracket * factor, factor, -perConversion * CriticalConversionPerKelvin, perConversion);
    }

    private Lanes Factor(Lanes conversion, Lanes kelvin)
    {
        var past = conversion - kelvin * CriticalConversionPerKelvin - Vector256.Create(CriticalConversionAtZeroKelvin);
        var limit = Vector256.Create(700.0); // exp(700) is the last power of ten that a double holds comfortably
        return Lanes.One / (Lanes.One + Vector256.Exp(Vector256.Clamp(past * Sharpness, -limit, limit)));
    }
}
