using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Tests.Reference;

namespace Pourwright.Cure.Tests.Kinetics;

/// <summary>Our rate law heated at four constant rates, evaluated as a calorimeter's peaks would be.</summary>
/// <remarks>
/// Synthetic first order, A = 1e6 1/s, E = 58 kJ/mol. ln(β/Tp²) against 1/Tp has the slope −E/R (Kissinger 1957, from memory);
/// for a first-order law it is exact.
/// </remarks>
public class KissingerTests
{
    private const double Energy = 58_000;
    private const double Frequency = 1e6;

    private static readonly (double KelvinPerMinute, double PeakCelsius)[] Expected =
    [
        .. ReferenceFiles.Json("cure/analytic.json").GetProperty("kissinger_synthetic_first_order").GetProperty("peaks")
            .EnumerateArray()
            .Select(p => (p.GetProperty("beta_K_min").GetDouble(), p.GetProperty("Tp_C").GetDouble())),
    ];

    [Fact]
    public void Peaks_OfARampedFirstOrderLaw_LieWhereTheyAreExpected()
    {
        Assert.Equal(4, Expected.Length);
        Assert.All(Expected, peak => Assert.Equal(peak.PeakCelsius, PeakKelvin(peak.KelvinPerMinute) - 273.15, 0.01));
    }

    [Fact]
    public void Kissinger_OfThosePeaks_ReturnsTheActivationEnergy()
    {
        (double X, double Y)[] points = [.. Expected.Select(p => (p.KelvinPerMinute, Kelvin: PeakKelvin(p.KelvinPerMinute)))
            .Select(p => (1 / p.Kelvin, Math.Log(p.KelvinPerMinute / (p.Kelvin * p.Kelvin))))];
        var (x, y) = (points.Average(p => p.X), points.Average(p => p.Y));
        var slope = points.Sum(p => (p.X - x) * (p.Y - y)) / points.Sum(p => (p.X - x) * (p.X - x));
        Assert.Equal(Energy, -slope * KamalSourour.GasConstant, 30.0);
    }

    // Fourth-order Runge-Kutta over the ramp in steps of 0.01 K; the peak is the summit of the parabola through the three
    // fastest.
    private static double PeakKelvin(double kelvinPerMinute)
    {
        const double step = 0.01;
        var k = Frequency * Math.Exp(-Energy / (KamalSourour.GasConstant * KamalSourour.ReferenceKelvin));
        var law = new CureReaction(new(k, 0, Energy, Energy, 1, 1), new NoDiffusionControl(), new(233.15, 325.15, 0.42));
        double Slope(double a, double t) => law.RatePerSecond(a, t) * 60 / kelvinPerMinute;
        var (conversion, kelvin, before, last) = (0.0, 263.15, 0.0, 0.0);
        while (true)
        {
            var k1 = Slope(conversion, kelvin);
            if (k1 < last)
                return kelvin - step + step * (before - k1) / (2 * (before - 2 * last + k1));
            var k2 = Slope(conversion + step / 2 * k1, kelvin + step / 2);
            var k3 = Slope(conversion + step / 2 * k2, kelvin + step / 2);
            var k4 = Slope(conversion + step * k3, kelvin + step);
            conversion += step / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
            (kelvin, before, last) = (kelvin + step, last, k1);
        }
    }
}
