using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Learning;

/// <summary>A forecast, and what is believed of the resin after the observations that came with the question.</summary>
/// <param name="Belief">To go on from.</param>
/// <param name="Forecast">Gates and peak at 5, 50 and 95 % of weighted draws and courses of the air.</param>
/// <param name="EffectiveDraws">How many independent draws the forecast rests on.</param>
public sealed record LearnedPiece(ResinBelief Belief, PieceForecast Forecast, double EffectiveDraws);

/// <summary>What is believed of one resin system: draws of its parameters, weighted by all that was seen of its pieces.</summary>
/// <remarks>
/// Importance weights: a draw's weight is multiplied by the likelihood of each observation in the run that the draw predicts.
/// Resin, lot and site keep what they learned; a pour keeps its own part until <see cref="Forget"/>. Where an observation would
/// leave fewer effective draws than a fifth, it is let in by parts (its likelihood to a power), with the draws resampled and
/// moved between: no evidence, however odd, leaves one draw alone. Pure, on one thread; about 0.2 ms a draw, a course of the air
/// and a part, more in a room whose temperature bends often.
/// </remarks>
public sealed class ResinBelief
{
    private const int MostParts = 12;
    private const string ResinRate = "resin rate", ResinHeat = "resin heat", ResinGlass = "resin glass";

    private ResinBelief(LearningPrior prior, EvidenceScales scales, WeightedDraws draws) =>
        (Prior, Scales, Draws) = (prior, scales, draws);

    private double LeastEffective => Prior.Draws / 5.0;

    /// <summary>What was believed before any observation.</summary>
    public LearningPrior Prior { get; }

    /// <summary>How surely checks tell.</summary>
    public EvidenceScales Scales { get; }

    /// <summary>The draws, to be stored.</summary>
    public WeightedDraws Draws { get; }

    /// <summary>Before any observation.</summary>
    /// <exception cref="CureRangeException">A spread or a scale is outside its range.</exception>
    public static ResinBelief Before(LearningPrior? prior = null, EvidenceScales? scales = null)
    {
        prior ??= new();
        prior.Check();
        var scores = SpreadDraws.Scores(prior.Seed, prior.Draws);
        return From(prior, scales ?? new(), new()
        {
            Weights = [.. Enumerable.Repeat(1.0 / prior.Draws, prior.Draws)],
            Scores = new Dictionary<string, IReadOnlyList<double>>
            {
                [ResinRate] = scores[0], [ResinHeat] = scores[1], [ResinGlass] = scores[2],
            },
        });
    }

    /// <summary>Goes on from draws that were stored.</summary>
    /// <exception cref="CureRangeException">A spread or a scale is outside its range.</exception>
    public static ResinBelief From(LearningPrior prior, EvidenceScales scales, WeightedDraws draws)
    {
        prior.Check();
        scales.Check();
        return new(prior, scales, draws);
    }

    /// <summary>Learns what is newly seen of a piece, if anything, and forecasts it; times in h from the first pour.</summary>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public LearnedPiece Given(ObservedPiece observed)
    {
        observed.Check();
        var draws = Met(observed);
        var (solver, left) = (new CureSolver(Detail.Coarse.Tolerance), 1.0);
        for (var part = 1; ; part++)
        {
            var runs = new PieceRuns(solver, observed, [.. Departures(draws, observed)], Scales);
            var power = part == MostParts ? left : draws.PowerKeeping(LeastEffective, runs.LogLikelihoods, left);
            draws = draws.Weighted(runs.LogLikelihoods, power);
            left -= power;
            if (left <= 0)
                return Answer(observed, draws, runs);
            draws = draws.Resampled(Seed($"{observed.Pour} part {part}"));
        }
    }

    /// <summary>Rate of the resin against its model: exp of the mean of its logarithm, and the standard deviation of that.</summary>
    public (double RateFactor, double LnSd) Resin =>
        (Math.Exp(Prior.ResinRateLnSd * Draws.Mean(ResinRate)), Prior.ResinRateLnSd * Math.Sqrt(Draws.Variance(ResinRate)));

    /// <summary>The pours that keep a part of their own.</summary>
    public IEnumerable<string> Pours => Draws.Scores.Keys.Where(IsPourRate).Select(key => key["pour ".Length..^" rate".Length]);

    /// <summary>How quick a lot is against the others of its resin; null where no piece of it was asked about.</summary>
    public LotPace? Lot(string lot) => Draws.Scores.ContainsKey(LotRate(lot))
        ? LotPace.Of(Draws, LotRate(lot), Draws.Scores.Keys.Where(IsLot).Where(key => key != LotRate(lot)), Prior.LotRateLnSd)
        : null;

    /// <summary>As many draws of equal weight as asked for, to stand for the belief, and its mean as the likely run.</summary>
    /// <param name="observed">The piece; what is newly seen of it is not learned here.</param>
    /// <param name="count">At most the number of draws of the belief.</param>
    public PieceDraws Represent(ObservedPiece observed, int count)
    {
        CureRangeException.Check("Number of draws to stand for a belief", count, 1, Prior.Draws, "");
        var draws = Met(observed);
        // Quickest last: equal steps of weight then lie evenly over the rate, which matters most.
        var byRate = Departures(draws, observed).Zip(draws.Weights).OrderBy(d => d.First.RateFactor).ToArray();
        var standing = WeightedDraws.Systematic([.. byRate.Select(d => d.Second)], count, 0.5).Select(i => byRate[i].First);
        return new(Mean(draws, observed), [.. standing]);
    }

    /// <summary>Without what belongs to one pour alone; for a piece of which nothing more will be seen or asked.</summary>
    public ResinBelief Forget(string pour) => With(Draws.Without([PourRate(pour), PourAir(pour)]));

    private ResinBelief With(WeightedDraws draws) => new(Prior, Scales, draws);

    private WeightedDraws Met(ObservedPiece observed) => Effects(observed).Aggregate(Draws, (d, e) => d.With(e, Prior.Seed));

    private LearnedPiece Answer(ObservedPiece observed, WeightedDraws draws, PieceRuns runs)
    {
        var seen = draws with { Observations = Draws.Observations + observed.Observations.Count };
        var forecast = runs.Forecast(seen, Mean(seen, observed));
        // Refreshed earlier than it must be: the next observation starts with room to weigh.
        var kept = seen.EffectiveByWeight < 2 * LeastEffective ? seen.Resampled(Seed($"{observed.Pour} after {seen.Observations}")) : seen;
        return new(With(kept), forecast, seen.Effective);
    }

    private int Seed(string what) => WeightedDraws.SeedOf(Prior.Seed, $"{what} of {Draws.Observations}");

    private IEnumerable<Departure> Departures(WeightedDraws draws, ObservedPiece observed)
    {
        IReadOnlyList<double>[] columns = [.. Effects(observed).Select(e => draws.Scores[e])];
        return Enumerable.Range(0, draws.Weights.Count).Select(i => Departed([.. columns.Select(c => c[i])]));
    }

    private Departure Mean(WeightedDraws draws, ObservedPiece observed) => Departed([.. Effects(observed).Select(draws.Mean)]);

    // In the order of Effects.
    private Departure Departed(double[] s) => new(
        Math.Exp(Prior.ResinRateLnSd * s[0] + Prior.LotRateLnSd * s[3] + Prior.SiteRateLnSd * s[4] + Prior.PourRateLnSd * s[6]),
        Math.Exp(Prior.Others.HeatLnSd * s[1]),
        Math.Exp(Prior.Others.HeatLossLnSd * s[5]),
        Prior.Others.AmbientOffsetSdKelvin * s[7],
        Prior.Others.TgOffsetSdKelvin * s[2]);

    private static string[] Effects(ObservedPiece observed) =>
    [
        ResinRate, ResinHeat, ResinGlass, LotRate(observed.Lot), SiteRate(observed.Site), SiteLoss(observed.Site),
        PourRate(observed.Pour), PourAir(observed.Pour),
    ];

    private static bool IsPourRate(string effect) =>
        effect.StartsWith("pour ", StringComparison.Ordinal) && effect.EndsWith(" rate", StringComparison.Ordinal);

    private static bool IsLot(string effect) => effect.StartsWith("lot ", StringComparison.Ordinal);
    private static string LotRate(string lot) => $"lot {lot} rate";
    private static string SiteRate(string site) => $"site {site} rate";
    private static string SiteLoss(string site) => $"site {site} heat loss";
    private static string PourRate(string pour) => $"pour {pour} rate";
    private static string PourAir(string pour) => $"pour {pour} air";
}
