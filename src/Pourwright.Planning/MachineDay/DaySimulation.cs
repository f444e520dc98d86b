namespace Pourwright.Planning.MachineDay;

/// <summary>How a day is tried out.</summary>
/// <remarks>Every default: common practice, no source.</remarks>
public sealed record SimulationTerms
{
    /// <summary>Days tried.</summary>
    public int Days { get; init; } = 4000;

    /// <summary>The same seed, the same days.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Each operation takes as long as said, more or less by at most this share, all equally likely.</summary>
    public double Spread { get; init; } = 0.20;
}

/// <summary>When a day will be over if people work in their own order: that is what may be promised.</summary>
public static class DaySimulation
{
    /// <summary>The day is over by then on nine days of ten, in min from its start.</summary>
    /// <param name="shop">What is to be done.</param>
    /// <param name="terms">How it is tried out.</param>
    /// <param name="order">All jobs, first in line first; null = <see cref="DayOrder.ByReadiness"/>.</param>
    public static double P90Minutes(ShopCase shop, SimulationTerms? terms = null, IReadOnlyList<int>? order = null) =>
        Quantile(EndMinutes(shop, terms ?? new(), order), 0.90);

    /// <summary>Ends of all days tried, in min, in rising order.</summary>
    public static double[] EndMinutes(ShopCase shop, SimulationTerms terms, IReadOnlyList<int>? order = null)
    {
        Check(terms);
        var (list, random) = (new ListSchedule(shop), new Random(terms.Seed));
        var (rank, stretch) = (DayOrder.Rank(shop, order ?? DayOrder.ByReadiness(shop)), new double[list.Operations]);
        var ends = new double[terms.Days];
        for (var day = 0; day < ends.Length; day++)
        {
            for (var i = 0; i < stretch.Length; i++)
                stretch[i] = 1 + terms.Spread * (2 * random.NextDouble() - 1);
            ends[day] = list.Run(rank, stretch);
        }
        Array.Sort(ends);
        return ends;
    }

    /// <summary>The least of these values that this share of them does not exceed.</summary>
    internal static double Quantile(double[] rising, double share) => rising[(int)Math.Ceiling(share * rising.Length) - 1];

    private static void Check(SimulationTerms terms)
    {
        if (terms.Days is < 1 or > 1_000_000)
            throw new ArgumentException($"{terms.Days} days to try; give 1 to 1000000.");
        if (!(terms.Spread is >= 0 and < 1))
            throw new ArgumentException($"A spread of {terms.Spread}; give a share from 0 to below 1.");
    }
}
