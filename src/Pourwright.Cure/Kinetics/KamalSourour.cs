using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Kinetics;

/// <summary>Chemical rate of conversion, in 1/s, free of diffusion.</summary>
/// <remarks>
/// dα/dt = (k1 + k2 α^m)(1 − α)^n [KamalSourour1973] [SourourKamal1976]; k2 = 0 gives the nth-order law, m = 1 and n = 2 the
/// stoichiometric amine law [Horie1970].
/// k_i(T) = k_i,ref exp(−E_i/R (1/T − 1/T_ref)) with T_ref = 298.15 K: rate constants are stored where they are measured, near
/// room temperature, and not as a pre-exponential factor extrapolated to infinite temperature.
/// Range: the form has been fitted to amine-cured epoxies from 40 to 110 °C [Barral1995] [Wan2017]; outside, an
/// extrapolation. Aliphatic diamines near room temperature leave the two-path mechanism early [Gonzalez2003].
/// </remarks>
/// <param name="K1PerSecond">Uncatalysed rate constant at 298.15 K, in 1/s.</param>
/// <param name="K2PerSecond">Autocatalysed rate constant at 298.15 K, in 1/s.</param>
/// <param name="E1JoulesPerMole">Activation energy of the uncatalysed path, in J/mol.</param>
/// <param name="E2JoulesPerMole">Activation energy of the autocatalysed path, in J/mol.</param>
/// <param name="M">Exponent of α in the autocatalysed path.</param>
/// <param name="N">Exponent of 1 − α.</param>
public sealed record KamalSourour(
    double K1PerSecond, double K2PerSecond, double E1JoulesPerMole, double E2JoulesPerMole, double M, double N)
{
    /// <summary>Temperature at which the rate constants are stored, in K.</summary>
    public const double ReferenceKelvin = 298.15;

    /// <summary>Molar gas constant, in J/(mol K): exact since the 2019 definition of the SI, cut after ten digits.</summary>
    public const double GasConstant = 8.314462618;

    // α^(m−1) and 1/(1−α) are infinite at the ends when m < 1 or n < 1: slopes are taken this far inside.
    private static readonly Lanes Inside = Vector256.Create(1e-9);

    /// <summary>Factor by which a rate constant of this activation energy grows from one temperature to another.</summary>
    /// <remarks>exp(−E/R (1/T2 − 1/T1)), Arrhenius. Temperatures in K, E in J/mol.</remarks>
    public static double RateRatio(double activationEnergyJoulesPerMole, double fromKelvin, double toKelvin) =>
        Math.Exp(-activationEnergyJoulesPerMole / GasConstant * (1 / toKelvin - 1 / fromKelvin));

    /// <summary>Bracket k1 + k2 α^m, in 1/s: what diffusion later slows down.</summary>
    internal Lanes Bracket(Lanes conversion, Lanes kelvin)
    {
        var (k1, k2) = RateConstants(kelvin);
        return k1 + k2 * Raised(conversion, M);
    }

    /// <summary>Bracket in 1/s, with its slopes in 1/(s K) and in 1/s per unit conversion.</summary>
    internal (Lanes Value, Lanes PerKelvin, Lanes PerConversion) BracketWithSlopes(Lanes conversion, Lanes kelvin)
    {
        var (k1, k2) = RateConstants(kelvin);
        var catalysed = k2 * Raised(conversion, M);
        var perKelvin = (k1 * E1JoulesPerMole + catalysed * E2JoulesPerMole) / (kelvin * kelvin * GasConstant);
        var perConversion = M == 1 ? k2 : catalysed * M / Vector256.Max(conversion, Inside);
        return (k1 + catalysed, perKelvin, perConversion);
    }

    /// <summary>(1 − α)^n.</summary>
    internal Lanes Unreacted(Lanes conversion) => Raised(Lanes.One - conversion, N);

    /// <summary>−d ln(1 − α)^n / dα = n/(1 − α).</summary>
    internal Lanes UnreactedLogSlope(Lanes conversion) =>
        Vector256.Create(N) / Vector256.Max(Lanes.One - conversion, Inside);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private (Lanes K1, Lanes K2) RateConstants(Lanes kelvin)
    {
        var colder = (Vector256.Create(1 / ReferenceKelvin) - Lanes.One / kelvin) * (1 / GasConstant);
        return (Vector256.Exp(colder * E1JoulesPerMole) * K1PerSecond, Vector256.Exp(colder * E2JoulesPerMole) * K2PerSecond);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Lanes Raised(Lanes x, double exponent) => exponent switch
    {
        1 => x,
        2 => x * x,
        _ => Vector256.Exp(Vector256.Log(Vector256.Max(x, Vector256.Create(1e-300))) * exponent),
    };
}
