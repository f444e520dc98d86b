using Pourwright.Cure.DataSheets;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.DataSheets;

/// <summary>Resins drawn from the literature's own spreads, their figures off by the spread of a figure.</summary>
public class StatedSpreadTests
{
    private const int Resins = 200;

    private readonly Random random = new(5);

    // What the fit gets wrong, in the spreads that it states, must have a standard deviation of 1: of 200 draws that is known to
    // 1/√400 = 0.05, and five times that are allowed, for figures are no straight lines of the parameters. The rule of
    // contradiction is one of three spreads: 0.3 % of honest figures fall to it, of 200 sheets of four 2 or 3; 8 are allowed.
    [Fact]
    public void Errors_OverManyKnownResins_AreAsLargeAsStatedAndHardlyAnyIsRefused()
    {
        double[][] errors = [.. Enumerable.Range(0, Resins).Select(_ => Errors()).OfType<double[]>()];
        Assert.InRange(errors.Length, Resins - 8, Resins);
        for (var parameter = 0; parameter < 4; parameter++)
            Assert.InRange(Math.Sqrt(errors.Average(e => e[parameter] * e[parameter])), 0.75, 1.25);
    }

    // ln k1 and ln k2 have spreads of 0.7 each, E 0.12, n 0.20 in ln, Tg∞ 10 K.
    private double[]? Errors()
    {
        var (k1, k2, energy, glass) = (0.7 * Normal(), 0.7 * Normal(), 0.12 * Normal(), 10 * Normal());
        var truth = Drawn(k1, k2, energy, glass);
        try
        {
            var fitted = SheetCalibrator.Calibrate(Sheets.Of(
                new PotLife(Printed(Sheets.Pot(truth, 500_000, 23), 100), 500_000, Vessel.Cup, 23),
                new GelTime(Printed(Sheets.Gel(truth, 23), 500), 23),
                new GelTime(Printed(Sheets.Gel(truth, 35), 500), 35),
                new FullCureTime(Math.Max(1, Printed(Sheets.Full(truth, 23), 3000)), 23)));
            double InSpreads(CureParameter parameter, double moved) =>
                (Math.Log(fitted[parameter].Fitted / fitted[parameter].PriorMedian) - moved) / fitted[parameter].PosteriorSpread;
            var final = fitted[CureParameter.FinalGlass];
            return
            [
                InSpreads(CureParameter.K1, k1), InSpreads(CureParameter.K2, k2),
                InSpreads(CureParameter.ActivationEnergy, energy),
                (final.Fitted - final.PriorMedian - glass) / final.PosteriorSpread,
            ];
        }
        catch (ContradictorySheetException)
        {
            return null;
        }
    }

    private ResinCureModel Drawn(double k1, double k2, double energy, double glass)
    {
        var reaction = Sheets.Deep.Reaction;
        var law = reaction.Chemistry;
        var drawn = new KamalSourour(
            law.K1PerSecond * Math.Exp(k1), law.K2PerSecond * Math.Exp(k2),
            law.E1JoulesPerMole * Math.Exp(energy), law.E2JoulesPerMole * Math.Exp(energy), law.M, law.N * Math.Exp(0.20 * Normal()));
        return Sheets.Deep with
        {
            Reaction = reaction with
            {
                Chemistry = drawn, Glass = reaction.Glass with { CuredKelvin = reaction.Glass.CuredKelvin + glass },
            },
        };
    }

    private double Printed(SheetFigure right, double mostHours) =>
        Math.Clamp(right.Stated * Math.Exp(right.Spread * Normal()), 0.02, mostHours);

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
