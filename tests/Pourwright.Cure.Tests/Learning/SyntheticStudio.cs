using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Learning;

/// <summary>A piece whose truth is known, and what people saw of it.</summary>
internal sealed record SyntheticPiece(ObservedPiece Unseen, ObservedRun Truth, IReadOnlyList<Observation> Observations)
{
    public ObservedPiece Seen => Unseen with { Observations = Observations };
}

/// <summary>
/// A studio drawn from the stated prior: its resin, lots, sites and pours depart at random, and its checks are drawn from the
/// stated likelihoods. It shares no code with what learns but the solver and the scales.
/// </summary>
internal sealed class SyntheticStudio(int seed, int draws)
{
    private static readonly LearningPrior Prior = new();
    private static readonly EvidenceScales Scales = new();

    private readonly Random random = new(seed);
    private readonly Dictionary<string, double> scores = [];

    public ResinBelief Belief { get; set; } = ResinBelief.Before(Prior with { Seed = seed, Draws = draws });

    /// <summary>Makes a lot quicker by a logarithm of the rate than the mean of some others, instead of drawing it.</summary>
    public void Fix(string lot, double rateLn, params string[] others) =>
        scores[$"lot {lot}"] = others.Average(other => Score($"lot {other}")) + rateLn / Prior.LotRateLnSd;

    public SyntheticPiece Pour(string pour, string lot, string site)
    {
        var unseen = new ObservedPiece { Pour = pour, Lot = lot, Site = site, Piece = Casting() };
        double[] looks = [.. Looks()];
        var truth = ObservedRun.Solve(unseen.Piece, Departure(lot, site), looks);
        var seen = random.NextDouble() < 0.6 ? Touches(truth, looks) : GateLooks(truth, looks);
        return new(unseen, truth, [.. Temperatures(truth), .. seen]);
    }

    // A casting 20 to 45 mm deep, with or without a board under it, in a room that drifts by a kelvin or so from day to day.
    private PieceCase Casting()
    {
        var room = Between(17, 23);
        return new()
        {
            Layers = [new(0, Between(20, 45), Between(room, 24), ResinCureModel.DeepCasting)],
            Ambient = [.. Enumerable.Range(0, 5).Select(day => new AmbientPoint(day * 24, room + Normal()))],
            BoardThicknessMm = random.NextDouble() < 0.5 ? 18 : 0,
            HorizonHours = 168,
        };
    }

    private Departure Departure(string lot, string site) => new(
        Math.Exp(Prior.ResinRateLnSd * Score("resin") + Prior.LotRateLnSd * Score($"lot {lot}")
            + Prior.SiteRateLnSd * Score($"site {site}") + Prior.PourRateLnSd * Normal()),
        Math.Exp(Prior.Others.HeatLnSd * Score("heat")),
        Math.Exp(Prior.Others.HeatLossLnSd * Score($"loss {site}")),
        Prior.Others.AmbientOffsetSdKelvin * Normal(),
        Prior.Others.TgOffsetSdKelvin * Score("glass"));

    // The next day, and every day or half day after.
    private IEnumerable<double> Looks()
    {
        var at = Between(18, 30);
        for (var i = 0; i < 6; i++, at += Between(8, 26))
            yield return at;
    }

    private IEnumerable<Observation> Temperatures(ObservedRun truth)
    {
        if (random.NextDouble() < 0.5)
            yield return new SurfaceMaximum(truth.SurfaceMaximumCelsius + Scales.SurfaceSdKelvin * Normal());
    }

    // Until it is firm; then sometimes a durometer.
    private IEnumerable<Observation> Touches(ObservedRun truth, double[] looks)
    {
        foreach (var at in looks)
        {
            var touch = Felt(truth, at);
            yield return new TouchSeen(at, touch);
            if (touch != Touch.Firm)
                continue;
            if (random.NextDouble() < 0.5)
                yield return Shore(truth, at);
            yield break;
        }
    }

    private Touch Felt(ObservedRun truth, double at)
    {
        var left = random.NextDouble();
        foreach (var touch in new[] { Touch.Tacky, Touch.Soft })
            if ((left -= new TouchSeen(at, touch).Likelihood(truth, Scales)) <= 0)
                return touch;
        return Touch.Firm;
    }

    private Observation Shore(ObservedRun truth, double at)
    {
        var read = Scales.ShoreD(truth.Sights.First(s => s.AtHours == at).SurfaceTgMinusTKelvin) + Scales.ShoreSd * Normal();
        return read < 20 ? new ShoreBelowScale(at) : new ShoreSeen(at, Math.Min(read, 100));
    }

    // Someone calls it ready, or never does.
    private IEnumerable<Observation> GateLooks(ObservedRun truth, double[] looks)
    {
        var called = truth.DemoldHours * Math.Exp(Scales.ReadyLnSd * Normal());
        double? before = looks.Where(at => at < called).Select(at => (double?)at).LastOrDefault();
        double? after = looks.Where(at => at >= called).Select(at => (double?)at).FirstOrDefault();
        yield return new GateSeen(CureGate.Demold, before, after);
    }

    private double Score(string effect) => scores.TryGetValue(effect, out var score) ? score : scores[effect] = Normal();

    private double Between(double low, double high) => low + (high - low) * random.NextDouble();

    // Box and Muller's.
    private double Normal() =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}
