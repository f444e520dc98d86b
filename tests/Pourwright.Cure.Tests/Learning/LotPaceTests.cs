using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Learning;

public class LotPaceTests
{
    [Fact]
    public void Lot_NeverMet_HasNoPace() => Assert.Null(ResinBelief.Before().Lot("L7"));

    [Theory]
    [InlineData(0.95, 0.01, LotVerdict.Slow)]
    [InlineData(0.94, 0.01, LotVerdict.Usual)]
    [InlineData(0.01, 0.95, LotVerdict.Quick)]
    [InlineData(0.50, 0.50, LotVerdict.Usual)]
    public void Verdict_AtNineteenTwentieths_IsGiven(double slow, double quick, LotVerdict verdict) =>
        Assert.Equal(verdict, new LotPace(1, 0.1, slow, quick).Verdict);

    // Four draws of two lots, in scores of 0.10 each. The other lot is known: its scores lie closer than those of the prior, so it
    // counts. Differences of ln rate: −0.3, −0.1, −0.2, 0; ln 1.05 = 0.0488, so three of four are slow and none is quick.
    [Fact]
    public void Pace_IsTheDifferenceFromTheOtherLot()
    {
        var belief = ResinBelief.From(new(), new(), new()
        {
            Weights = [0.25, 0.25, 0.25, 0.25],
            Scores = new Dictionary<string, IReadOnlyList<double>>
            {
                ["lot new rate"] = [-2.5, -1.5, -1.5, -0.5], ["lot old rate"] = [0.5, -0.5, 0.5, -0.5],
            },
        });
        var pace = belief.Lot("new")!;
        Assert.Equal(Math.Exp(-0.15), pace.RateFactor, 1e-12);
        Assert.Equal(Math.Sqrt((0.15 * 0.15 + 0.05 * 0.05) / 2), pace.LnSd, 1e-12);
        Assert.Equal(0.75, pace.SlowProbability, 1e-12);
        Assert.Equal(0, pace.QuickProbability);
    }

    [Fact]
    public void Pace_OfTheOnlyLot_IsAgainstItsPrior()
    {
        var belief = ResinBelief.From(new(), new(), new()
        {
            Weights = [0.5, 0.5],
            Scores = new Dictionary<string, IReadOnlyList<double>> { ["lot only rate"] = [1, 3] },
        });
        Assert.Equal(Math.Exp(0.2), belief.Lot("only")!.RateFactor, 1e-12);
        Assert.Equal(LotVerdict.Quick, belief.Lot("only")!.Verdict);
    }

    // A third lot cures at four fifths of the rate of the first two, and is seen as it is, to two hours.
    [Fact]
    public void Lot_AQuarterSlow_IsNotedFromChecksAlone()
    {
        var belief = ResinBelief.Before(new() { Draws = 500 });
        var verdicts = new List<LotVerdict>();
        foreach (var (lot, rate) in new[] { ("one", 1), ("two", 1), ("slow", 0.8) })
            for (var i = 0; i < (lot == "slow" ? 8 : 4); i++)
            {
                belief = belief.Given(Seen(lot, i, rate)).Belief.Forget($"{lot} {i}");
                verdicts.Add(belief.Lot(lot)!.Verdict);
            }
        Assert.All(verdicts.Take(8), verdict => Assert.Equal(LotVerdict.Usual, verdict));
        Assert.Contains(LotVerdict.Slow, verdicts.Skip(8));
        Assert.InRange(belief.Lot("slow")!.RateFactor, 0.75, 0.90);
        Assert.NotEqual(LotVerdict.Slow, belief.Lot("one")!.Verdict);
    }

    private static ObservedPiece Seen(string lot, int number, double rate)
    {
        var piece = Pieces.Deep(30 + number) with { HorizonHours = 168 };
        var truth = ObservedRun.Solve(piece, Departure.None with { RateFactor = rate });
        return new()
        {
            Pour = $"{lot} {number}", Lot = lot, Site = "north", Piece = piece,
            Observations =
            [
                new SurfaceMaximum(truth.SurfaceMaximumCelsius),
                new GateSeen(CureGate.Demold, truth.DemoldHours - 2, truth.DemoldHours + 2),
            ],
        };
    }
}
