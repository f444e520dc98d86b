using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Kinetics;

/// <summary>Glass-transition temperature as a function of conversion, in K.</summary>
/// <remarks>
/// Tg(α) = Tg0 + (Tg∞ − Tg0) λ α/(1 − (1 − λ) α) [DiBenedetto1987]; λ is the ratio of the heat-capacity steps of the cured and
/// the uncured resin. Range: 0 ≤ α ≤ 1.
/// </remarks>
/// <param name="UncuredKelvin">Tg0, of the mix before any reaction, in K.</param>
/// <param name="CuredKelvin">Tg∞, at full conversion, in K.</param>
/// <param name="Lambda">λ, without unit, 0 to 1.</param>
public sealed record DiBenedetto(double UncuredKelvin, double CuredKelvin, double Lambda)
{
    /// <summary>Glass-transition temperature at a conversion, in K.</summary>
    public double Kelvin(double conversion) =>
        UncuredKelvin + (CuredKelvin - UncuredKelvin) * Lambda * conversion / (1 - (1 - Lambda) * conversion);

    /// <summary>Conversion at which a temperature is the glass transition, without unit; above 1 where none is.</summary>
    /// <remarks>The same line solved for α: x/(λ + (1 − λ) x) with x = (Tg − Tg0)/(Tg∞ − Tg0). Range: Tg ≥ Tg0.</remarks>
    public double Conversion(double kelvin)
    {
        var share = (kelvin - UncuredKelvin) / (CuredKelvin - UncuredKelvin);
        return share / (Lambda + (1 - Lambda) * share);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal Lanes Kelvin(Lanes conversion) =>
        conversion * ((CuredKelvin - UncuredKelvin) * Lambda) / (Lanes.One - conversion * (1 - Lambda))
        + Vector256.Create(UncuredKelvin);

    /// <summary>dTg/dα = (Tg∞ − Tg0) λ/(1 − (1 − λ) α)², in K per unit conversion.</summary>
    internal Lanes KelvinPerConversion(Lanes conversion)
    {
        var shrunk = Lanes.One - conversion * (1 - Lambda);
        return Vector256.Create((CuredKelvin - UncuredKelvin) * Lambda) / (shrunk * shrunk);
    }
}
