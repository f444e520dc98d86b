namespace Pourwright.Cure.Learning;

/// <summary>
/// Weighted draws of effects, each in units of its prior spread: an array of scores an effect, and one of weights.
/// </summary>
/// <remarks>Plain arrays under plain names, so that they can be stored between one check and the next.</remarks>
public sealed record WeightedDraws
{
    /// <summary>Weight of each draw; they sum to 1.</summary>
    public required IReadOnlyList<double> Weights { get; init; }

    /// <summary>Normal scores of each draw, by the name of the effect.</summary>
    public required IReadOnlyDictionary<string, IReadOnlyList<double>> Scores { get; init; }

    /// <summary>Number of observations that made the weights.</summary>
    public int Observations { get; init; }

    /// <summary>How many effective draws these were last resampled from; null where they never were.</summary>
    public double? Parents { get; init; }

    /// <summary>How many equal draws the weights leave, 1/Σ w²: all of them before any observation.</summary>
    public double EffectiveByWeight => 1 / Weights.Sum(w => w * w);

    /// <summary>How many independent draws these are worth: resampled ones are no more than those they came from.</summary>
    public double Effective => EffectiveByWeight * Math.Min(1, Parents / Weights.Count ?? 1);

    /// <summary>Weighted mean of an effect.</summary>
    public double Mean(string effect) => Weights.Zip(Scores[effect], (w, x) => w * x).Sum();

    /// <summary>Weighted variance of an effect; 1 before any observation.</summary>
    public double Variance(string effect)
    {
        var mean = Mean(effect);
        return Weights.Zip(Scores[effect], (w, x) => w * (x - mean) * (x - mean)).Sum();
    }

    /// <summary>Weight of the draws in which a condition holds for an effect.</summary>
    public double Share(string effect, Func<double, bool> holds) =>
        Weights.Zip(Scores[effect], (w, x) => holds(x) ? w : 0).Sum();

    /// <summary>With an effect not met before, spread as its prior and independent of all others.</summary>
    /// <remarks>Ranks in random order: the prior of every effect is covered evenly. The order comes from seed and name.</remarks>
    internal WeightedDraws With(string effect, int seed)
    {
        if (Scores.ContainsKey(effect))
            return this;
        var random = new Random(SeedOf(seed, effect));
        var scores = Readiness.SpreadDraws.Scores([.. Weights.Select(_ => random.NextDouble())]);
        return this with { Scores = new Dictionary<string, IReadOnlyList<double>>(Scores) { [effect] = scores } };
    }

    internal WeightedDraws Without(IEnumerable<string> effects) => this with
    {
        Scores = Scores.Where(e => !effects.Contains(e.Key)).ToDictionary(),
    };

    /// <summary>Weights times likelihoods to a power.</summary>
    internal WeightedDraws Weighted(double[] logLikelihoods, double power) => this with { Weights = Raised(logLikelihoods, power) };

    /// <summary>The greatest power, up to one given, of the likelihoods that leaves so many draws effective.</summary>
    internal double PowerKeeping(double effective, double[] logLikelihoods, double most)
    {
        double Left(double power) => 1 / Raised(logLikelihoods, power).Sum(w => w * w);
        if (Left(most) >= effective)
            return most;
        var (low, high) = (0.0, most);
        for (var i = 0; i < 40; i++)
            if ((low + high) / 2 is var half && Left(half) >= effective)
                low = half;
            else
                high = half;
        return low;
    }

    /// <summary>As many draws of equal weight, moved a little from where they were: mean and covariance stay.</summary>
    /// <remarks>
    /// Systematic resampling, then x' = a x + (1 − a) m + √(1 − a²) ξ, m the weighted mean, a = (3 δ − 1)/(2 δ), δ = 0.98
    /// [LiuWest2001]. ξ is the difference of two of the draws over √2, which has their covariance without any factoring: a lot
    /// and a site that only together explain a piece stay tied (our choice in place of a normal ξ).
    /// </remarks>
    public WeightedDraws Resampled(int seed)
    {
        const double Discount = 0.98, Kept = (3 * Discount - 1) / (2 * Discount);
        var (random, count) = (new Random(seed), Weights.Count);
        var jitter = Math.Sqrt((1 - Kept * Kept) / 2);
        int[] parents = Systematic(Weights, Weights.Count, random.NextDouble()), plus = Shuffled(random), minus = Shuffled(random);
        IReadOnlyList<double> Moved(string effect, IReadOnlyList<double> x)
        {
            var mean = Mean(effect);
            return [.. parents.Select((p, i) => Kept * x[p] + (1 - Kept) * mean + jitter * (x[plus[i]] - x[minus[i]]))];
        }
        return this with
        {
            Weights = [.. Enumerable.Repeat(1.0 / count, count)],
            Parents = EffectiveByWeight,
            Scores = Scores.ToDictionary(e => e.Key, e => Moved(e.Key, e.Value)),
        };
    }

    private double[] Raised(double[] logLikelihoods, double power)
    {
        var most = logLikelihoods.Max();
        double[] raised = [.. Weights.Zip(logLikelihoods, (w, l) => w * Math.Exp(power * (l - most)))];
        var sum = raised.Sum();
        return [.. raised.Select(w => w / sum)];
    }

    /// <summary>Which draws stand for all when so many of equal weight are asked for; the shift lies between 0 and 1.</summary>
    internal static int[] Systematic(IReadOnlyList<double> weights, int count, double shift)
    {
        var parents = new int[count];
        var (draw, reached) = (0, weights[0]);
        for (var i = 0; i < count; i++)
        {
            while (reached < (i + shift) / count && draw < weights.Count - 1)
                reached += weights[++draw];
            parents[i] = draw;
        }
        return parents;
    }

    private int[] Shuffled(Random random)
    {
        var order = Systematic(Weights, Weights.Count, random.NextDouble());
        random.Shuffle(order);
        return order;
    }

    /// <summary>A seed for a name: the hash FNV-1a, since that of a string differs from one process to the next.</summary>
    internal static int SeedOf(int seed, string name) =>
        (int)name.Aggregate(unchecked(2166136261u ^ (uint)seed), (hash, letter) => unchecked((hash ^ letter) * 16777619u));
}
