using System.Text.Json;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Cure.Tests.Readiness;

namespace Pourwright.Cure.Tests.Learning;

public class ResinBeliefTests
{
    private static readonly ResinBelief Before = ResinBelief.Before(new() { Draws = 500 });

    private static ObservedPiece Piece(params Observation[] seen) => new()
    {
        Pour = "1", Lot = "L7", Site = "north", Piece = Pieces.Deep() with { HorizonHours = 168 }, Observations = seen,
    };

    private static double LnWidth(GateTimes gate) => Math.Log(gate.SafeHours!.Value / gate.EarliestHours!.Value);

    private static double LnRate(ResinBelief belief) => belief.Prior.ResinRateLnSd * belief.Draws.Mean("resin rate");

    [Fact]
    public void Draws_BeforeAnyObservation_AreAllEffective()
    {
        var asked = Before.Given(Piece());
        Assert.Equal(Before.Prior.Draws, Before.Draws.Effective, 1e-9);
        Assert.Equal(Before.Prior.Draws, asked.EffectiveDraws, 1e-9);
        Assert.Equal(0, asked.Belief.Draws.Observations);
    }

    // The same spreads as draws of the forecast that does not learn: ln rate √(0.20² + 3 · 0.10²) = 0.2646, the others as they are.
    [Fact]
    public void Forecast_BeforeAnyObservation_IsThatOfItsSpreads()
    {
        var learned = Before.Given(Piece()).Forecast;
        var plain = LadderForecaster.Forecast(Piece().Piece, CureSpread.Default with { RateLnSd = Math.Sqrt(0.07), Draws = 1000 });
        foreach (var (one, other) in new[] { (learned.Gel, plain.Gel), (learned.Demold, plain.Demold) })
        {
            var width = other.SafeHours!.Value - other.EarliestHours!.Value;
            Assert.Equal(other.EarliestHours!.Value, one.EarliestHours!.Value, 0.1 * width);
            Assert.Equal(other.LikelyHours!.Value, one.LikelyHours!.Value, 0.1 * width);
            Assert.Equal(other.SafeHours!.Value, one.SafeHours!.Value, 0.1 * width);
        }
        Assert.Equal(plain.ModelRevision, learned.ModelRevision);
        Assert.Equal(Piece().Piece.HorizonHours, learned.LikelyCourse[^1].AtHours);
    }

    // A posterior by hand. Two draws alone, 100 of each: rates 10 % up and down, all else equal. After a touch at 44 h the odds of
    // quick to slow are those of its two likelihoods, and P(quick) = L1/(L1 + L2).
    [Theory]
    [InlineData(Touch.Soft)]
    [InlineData(Touch.Firm)]
    public void Posterior_OfTwoPoints_IsBayes(Touch touch)
    {
        var prior = new LearningPrior
        {
            Draws = 200, ResinRateLnSd = 0.1, LotRateLnSd = 0, SiteRateLnSd = 0, PourRateLnSd = 0,
            Others = Pieces.NoSpread,
        };
        double[] twoPoints = [.. Enumerable.Range(0, 200).Select(i => i % 2 == 0 ? 1.0 : -1)];
        var belief = ResinBelief.From(prior, new(), new()
        {
            Weights = [.. Enumerable.Repeat(1 / 200.0, 200)],
            Scores = new Dictionary<string, IReadOnlyList<double>>
            {
                ["resin rate"] = twoPoints, ["resin heat"] = twoPoints, ["resin glass"] = twoPoints,
            },
        });
        var seen = new TouchSeen(44, touch);
        double Likelihood(double factor) =>
            seen.Likelihood(ObservedRun.Solve(Piece().Piece, Departure.None with { RateFactor = factor }, 44), new());
        var (quick, slow) = (Likelihood(Math.Exp(0.1)), Likelihood(Math.Exp(-0.1)));
        var after = belief.Given(Piece(seen)).Belief.Draws;
        Assert.Equal(quick / (quick + slow), after.Share("resin rate", x => x > 0), 1e-9);
        Assert.InRange(Math.Abs(quick / (quick + slow) - 0.5), 0.05, 0.49);
    }

    [Fact]
    public void Rate_AfterFirmEarlyOrSoftLate_MovesTheRightWay()
    {
        var (firm, soft) = (Before.Given(Piece(new TouchSeen(30, Touch.Firm))), Before.Given(Piece(new TouchSeen(60, Touch.Soft))));
        Assert.InRange(LnRate(firm.Belief), 0.05, 0.5);
        Assert.InRange(LnRate(soft.Belief), -0.5, -0.05);
        var unseen = Before.Given(Piece()).Forecast.Demold;
        Assert.True(firm.Forecast.Demold.SafeHours < unseen.SafeHours);
        Assert.True(soft.Forecast.Demold.EarliestHours > unseen.EarliestHours);
    }

    // A casting seen hot, then soft at 30 h, then firm at 54 h: demold is known ever more closely, and lies where both agree.
    [Fact]
    public void Demold_WithEveryCheck_IsKnownMoreClosely()
    {
        Observation[] seen = [new SurfaceMaximum(36), new TouchSeen(30, Touch.Soft), new TouchSeen(54, Touch.Firm)];
        GateTimes[] demold = [.. Enumerable.Range(0, 4).Select(n => Before.Given(Piece(seen[..n])).Forecast.Demold)];
        Assert.All(demold.Zip(demold.Skip(1)), pair => Assert.True(LnWidth(pair.Second) < LnWidth(pair.First)));
        Assert.True(demold[1].EarliestHours > demold[0].EarliestHours && demold[1].SafeHours < demold[0].SafeHours);
        Assert.True(demold[2].EarliestHours >= demold[1].EarliestHours - 1);
        Assert.True(demold[3].SafeHours < demold[2].SafeHours);
        Assert.InRange(demold[3].LikelyHours!.Value, 30, 54);
    }

    [Fact]
    public void Observations_InAnyOrder_SayTheSame()
    {
        Observation[] seen =
        [
            new SurfaceMaximum(38), new TouchSeen(28, Touch.Soft), new ShoreSeen(50, 48), new GateSeen(CureGate.Demold, 28, 50),
        ];
        var (one, other) = (Before.Given(Piece(seen)), Before.Given(Piece([.. seen.Reverse()])));
        Assert.Equal(one.Forecast.Demold, other.Forecast.Demold);
        Assert.Equal(one.Belief.Draws.Weights, other.Belief.Draws.Weights);
    }

    // Two mild touches, too little to resample: given at once or one after the other, the weights are the same products.
    [Fact]
    public void Observations_GivenOneByOne_SayTheSame()
    {
        var (early, late) = (new TouchSeen(40, Touch.Soft), new TouchSeen(60, Touch.Firm));
        var together = Before.Given(Piece(early, late));
        var apart = Before.Given(Piece(early)).Belief.Given(Piece(late));
        Assert.True(together.EffectiveDraws > 0.4 * Before.Prior.Draws);
        Assert.All(
            together.Belief.Draws.Weights.Zip(apart.Belief.Draws.Weights), pair => Assert.Equal(pair.First, pair.Second, 1e-12));
        Assert.Equal(2, apart.Belief.Draws.Observations);
    }

    [Fact]
    public void Belief_OfTheSameSeed_IsTheSame()
    {
        Observation[] seen = [new SurfaceMaximum(30), new GateSeen(CureGate.Demold, 62, 66)];
        LearnedPiece Asked(int seed) => ResinBelief.Before(new() { Seed = seed, Draws = 500 }).Given(Piece(seen));
        Assert.Equal(Asked(5).Belief.Draws.Scores["resin rate"], Asked(5).Belief.Draws.Scores["resin rate"]);
        Assert.Equal(Asked(5).Forecast.Demold, Asked(5).Forecast.Demold);
        Assert.NotEqual(Asked(6).Forecast.Demold, Asked(5).Forecast.Demold);
    }

    // Firm after six hours, tacky after a week, and as hot as 200 °C: nobody believes it, and nothing breaks.
    [Fact]
    public void Belief_AfterEvidenceThatCannotBe_StaysFiniteAndSpread()
    {
        var odd = Piece(new TouchSeen(6, Touch.Firm), new TouchSeen(160, Touch.Tacky), new SurfaceMaximum(200), new ShoreSeen(6, 85));
        foreach (var scales in new EvidenceScales[] { new(), new() { LapseShare = 0 } })
        {
            var after = ResinBelief.Before(Before.Prior, scales).Given(odd);
            Assert.InRange(after.Belief.Draws.EffectiveByWeight, Before.Prior.Draws / 5.0 - 1e-6, Before.Prior.Draws + 1e-6);
            Assert.All(after.Belief.Draws.Scores.Values.SelectMany(x => x), x => Assert.InRange(x, -10, 10));
            Assert.Equal(1, after.Belief.Draws.Weights.Sum(), 1e-9);
            Assert.True(double.IsFinite(after.Forecast.Peak.HighCelsius));
        }
    }

    // Strong evidence brings resampling; nine draws of ten then differ, and the posterior keeps its centre when asked again.
    [Fact]
    public void Draws_AfterStrongEvidence_AreManyAgain()
    {
        var sharp = new EvidenceScales { SurfaceSdKelvin = 0.5 };
        var after = ResinBelief.Before(Before.Prior, sharp).Given(Piece(new SurfaceMaximum(34), new SurfaceSeen(12, 33)));
        var rates = after.Belief.Draws.Scores["pour 1 rate"];
        Assert.True(rates.Distinct().Count() > rates.Count * 0.9);
        Assert.True(after.Belief.Draws.EffectiveByWeight >= 0.4 * Before.Prior.Draws);
        var again = after.Belief.Given(Piece()).Forecast.Demold;
        var width = again.SafeHours!.Value - again.EarliestHours!.Value;
        Assert.Equal(after.Forecast.Demold.LikelyHours!.Value, again.LikelyHours!.Value, 0.2 * width);
    }

    // What a pour was alone goes; what it taught of resin and lot stays.
    [Fact]
    public void Pour_Forgotten_LeavesWhatItTaught()
    {
        var after = Before.Given(Piece(new TouchSeen(30, Touch.Firm))).Belief;
        var without = after.Forget("1");
        Assert.Contains("pour 1 rate", after.Draws.Scores.Keys);
        Assert.Equal(["1"], after.Pours);
        Assert.Empty(without.Pours);
        Assert.DoesNotContain(without.Draws.Scores.Keys, key => key.StartsWith("pour", StringComparison.Ordinal));
        Assert.Equal(LnRate(after), LnRate(without));
        Assert.Equal(after.Lot("L7"), without.Lot("L7"));
    }

    [Fact]
    public void Belief_StoredAndReadAgain_GoesOnTheSame()
    {
        var after = Before.Given(Piece(new TouchSeen(30, Touch.Soft))).Belief;
        var read = ResinBelief.From(
            after.Prior, after.Scales, JsonSerializer.Deserialize<WeightedDraws>(JsonSerializer.Serialize(after.Draws))!);
        Assert.Equal(after.Given(Piece()).Forecast.Demold, read.Given(Piece()).Forecast.Demold);
    }

    // Two rooms, 17 and 23 °C, three to one: the gates lie between those of each, nearer the likelier.
    [Fact]
    public void Gates_OverCoursesOfTheAir_LieBetweenThem()
    {
        GateTimes Demold(params AmbientScenario[] airs) => Before.Given(Piece() with { Scenarios = airs }).Forecast.Demold;
        AmbientScenario cold = new(3, [new(0, 20), new(8, 17)]), warm = new(1, [new(0, 20), new(8, 23)]);
        var (slow, quick, both) = (Demold(cold), Demold(warm), Demold(cold, warm));
        Assert.InRange(both.LikelyHours!.Value, quick.LikelyHours!.Value, slow.LikelyHours!.Value);
        Assert.InRange(both.EarliestHours!.Value, quick.EarliestHours!.Value, slow.EarliestHours!.Value);
        Assert.True(slow.LikelyHours - both.LikelyHours < both.LikelyHours - quick.LikelyHours);

        // The same course twice is that course once, but for the places of values that are now twins.
        Assert.Equal(slow.SafeHours!.Value, Demold(cold, cold).SafeHours!.Value, 0.005 * slow.SafeHours.Value);
    }

    // Firm at 40 h speaks for the warm room of the two.
    [Fact]
    public void CoursesOfTheAir_AreWeighedByWhatIsSeen()
    {
        AmbientScenario[] airs = [new(1, [new(0, 20), new(8, 15)]), new(1, [new(0, 20), new(8, 25)])];
        GateTimes Demold(params Observation[] seen) => Before.Given(Piece(seen) with { Scenarios = airs }).Forecast.Demold;
        Assert.True(Demold(new TouchSeen(40, Touch.Firm)).SafeHours < 0.8 * Demold().SafeHours);
    }

    // Forty departures stand for the belief: laid evenly over the rate, their mean ln rate is that of all draws.
    [Fact]
    public void Departures_OfEqualWeight_StandForTheBelief()
    {
        var belief = Before.Given(Piece(new TouchSeen(30, Touch.Firm))).Belief;
        double[] rates = [.. belief.Represent(Piece(), 40).Draws.Select(d => Math.Log(d.RateFactor))];
        double[] all = [.. belief.Represent(Piece(), Before.Prior.Draws).Draws.Select(d => Math.Log(d.RateFactor))];
        Assert.Equal(40, rates.Length);
        Assert.Equal(all.Average(), rates.Average(), 0.01);
        Assert.True(rates.Average() > 0.1);
    }
}
