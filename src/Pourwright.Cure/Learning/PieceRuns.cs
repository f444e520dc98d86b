using System.Globalization;
using Pourwright.Cure.Heat;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Learning;

/// <summary>A piece solved once for every draw in every course of the air.</summary>
internal sealed class PieceRuns
{
    private readonly ObservedPiece observed;
    private readonly AmbientScenario[] airs;
    private readonly ObservedRun[][] runs;
    private readonly double[][] likelihoods;

    public PieceRuns(CureSolver solver, ObservedPiece observed, Departure[] departures, EvidenceScales scales)
    {
        (this.observed, airs) = (observed, observed.Airs);
        PieceCase[] pieces = [.. airs.Select(air => observed.Piece with { Ambient = air.Ambient })];
        double[] hours = [.. observed.Observations.Select(o => o.SeenAtHours).OfType<double>().Distinct().Order()];
        runs = [.. departures.Select(d => pieces.Select(piece => ObservedRun.Solve(solver, piece, d, hours)).ToArray())];
        likelihoods = [.. runs.Select(run => run.Select((r, s) => airs[s].Weight * Likelihood(r, scales)).ToArray())];
        LogLikelihoods = [.. likelihoods.Select(l => Math.Log(Math.Max(l.Sum(), double.Epsilon)))];
    }

    /// <summary>Of each draw, over the courses of the air.</summary>
    public double[] LogLikelihoods { get; }

    /// <summary>Gates and peak over draws and courses; the likely run is that of the mean draw in the likeliest course.</summary>
    public PieceForecast Forecast(WeightedDraws draws, Departure mean)
    {
        double[] weights = [.. draws.Weights.SelectMany((w, i) => Parts(likelihoods[i]).Select(part => w * part))];
        ObservedRun[] all = [.. runs.SelectMany(r => r)];
        WeightedQuantiles Of(Func<ObservedRun, double> value) => new(all.Select(value), weights, draws.Effective);
        var likely = observed.Piece with { Ambient = airs.MaxBy(a => a.Weight)!.Ambient };
        var (watch, course, psi) = (new GateWatch(likely.WorkKelvin), new CourseWatch(likely.HorizonHours), RunawayScreen.Psi(likely, mean));
        PieceRun.Solve(new CureSolver(Detail.Fine(psi).Tolerance), likely, mean, Detail.Fine(psi), watch, course);
        var peak = Of(r => r.PeakCelsius);
        return new(
            Revision(draws.Observations), Of(r => r.GelHours).Gate, Of(r => r.DemoldHours).Gate, Of(r => r.HandleHours).Gate,
            new(peak[0.05], peak[0.50], peak[0.95], watch.PeakSeconds / 3600, psi, RunawayScreen.Risk(psi)),
            watch.LeastConversion, course.Samples);
    }

    // Smallest first: the product is the same to the last digit whatever the order in which things were seen.
    private double Likelihood(ObservedRun run, EvidenceScales scales) =>
        observed.Observations.Select(o => o.Likelihood(run, scales)).Order().Aggregate(1.0, (product, l) => product * l);

    // Shares of the courses in one draw; their prior weights where nothing seen was possible in any.
    private IEnumerable<double> Parts(double[] likelihood) =>
        likelihood.Sum() is var sum && sum > 0 ? likelihood.Select(l => l / sum) : airs.Select(a => a.Weight);

    private string Revision(int observations) =>
        string.Join(" + ", observed.Piece.Layers.Select(l => l.Resin.Revision).Distinct())
        + (observations == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $", {observations} observations"));
}
