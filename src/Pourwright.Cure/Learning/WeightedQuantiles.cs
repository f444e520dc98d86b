using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Learning;

/// <summary>Quantiles of weighted values, for a truth that is one more draw of the same kind.</summary>
/// <remarks>
/// The k-th of n equal draws is passed by the next with probability k/(n + 1), not (k − ½)/n: few effective draws must promise
/// less. Value k stands at (W_k − w_k/2) n/(n + 1) + ½/(n + 1), W the running sum of weights, n the effective draws; straight
/// lines between; the outermost values beyond.
/// </remarks>
public sealed class WeightedQuantiles
{
    private readonly double[] values;
    private readonly double[] places;

    /// <param name="values">At least one, in any order and unit; infinite for never.</param>
    /// <param name="weights">One for each, summing to 1.</param>
    /// <param name="effective">How many equal draws they are worth.</param>
    public WeightedQuantiles(IEnumerable<double> values, IEnumerable<double> weights, double effective)
    {
        this.values = [.. values];
        places = [.. weights];
        Array.Sort(this.values, places);
        var sum = 0.0;
        for (var k = 0; k < places.Length; k++)
        {
            sum += places[k];
            places[k] = ((sum - places[k] / 2) * effective + 0.5) / (effective + 1);
        }
    }

    /// <summary>Value at a share; infinite where the value above it is.</summary>
    public double this[double share]
    {
        get
        {
            var above = Array.FindIndex(places, place => place >= share);
            if (above <= 0)
                return above == 0 ? values[0] : values[^1];
            var (from, to) = (values[above - 1], values[above]);
            var part = (share - places[above - 1]) / (places[above] - places[above - 1]);
            return double.IsInfinity(to) ? to : from + (to - from) * part;
        }
    }

    /// <summary>5, 50 and 95 % of hours; null where not reached.</summary>
    public GateTimes Gate => new(Finite(0.05), Finite(0.50), Finite(0.95));

    private double? Finite(double share) => this[share] is var value && double.IsFinite(value) ? value : null;
}
