using System.Collections.Concurrent;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Tests.Generated;

/// <summary>Cure gaps from invented room temperatures: seasonal, with weather that lasts for days and nights that are colder.</summary>
/// <remarks>
/// In one temperature scenario k, pieces are independent: one is ready when its equivalent age A at 20 °C passes that of the
/// offering times a lognormal factor, so P(all N ready) = mean over k of Φ(ln(A_k / age) / σ)^N. The rate doubles every 10 K
/// (common practice, no source). Few scenarios, since it must be quick; what is planned by them is checked by them.
/// </remarks>
internal sealed class SyntheticCure : ICureGaps
{
    private const int Scenarios = 40;
    private const double Sigma = 0.08;
    private const double StepHours = 0.25;
    private const double LongestHours = 24 * 21;

    private readonly double[] ageHours;      // of each offering, at 20 °C
    private readonly double asked;
    private readonly double[][] pourEnds;    // [site][slot], h
    private readonly double[][][] ages;      // [site][scenario][hour]: equivalent h since the first hour
    private readonly double firstHour;
    private readonly ConcurrentDictionary<(int, int, int, int), double?> least = [];

    public SyntheticCure(IReadOnlyList<SeasonSite> sites, IReadOnlyList<double> ageHours, double asked, int seed)
    {
        (this.ageHours, this.asked) = ([.. ageHours], asked);
        pourEnds = [.. sites.Select(site => site.SlotEndHours.ToArray())];
        firstHour = sites.Min(site => site.SlotStartHours[0]) - 24;
        var hours = (int)(sites.Max(site => site.SlotEndHours[^1]) - firstHour + LongestHours + 48);
        ages = [.. Enumerable.Range(0, sites.Count).Select(site => Rooms(new(seed * 1000 + site), hours))];
    }

    public double? LeastHours(int offering, int site, int pourSlot, int pieces) =>
        least.GetOrAdd((offering, site, pourSlot, pieces), _ => Bisect(offering, site, pourSlot, pieces));

    public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours)
    {
        var (start, sum) = (pourEnds[site][pourSlot] - firstHour, 0.0);
        foreach (var age in ages[site])
            sum += Math.Pow(Phi(Math.Log(Math.Max(1e-9, At(age, start + hours) - At(age, start)) / ageHours[offering]) / Sigma), pieces);
        return sum / Scenarios;
    }

    private double? Bisect(int offering, int site, int pourSlot, int pieces)
    {
        var (below, above) = (0, (int)(LongestHours / StepHours));
        if (ChanceAllReady(offering, site, pourSlot, pieces, LongestHours) < asked) return null;
        while (above - below > 1)
        {
            var middle = (below + above) / 2;
            if (ChanceAllReady(offering, site, pourSlot, pieces, middle * StepHours) >= asked) above = middle;
            else below = middle;
        }
        return above * StepHours;
    }

    // A room of 18 to 21 °C that is 1.5 K colder in winter, weather of 1.2 K that is forgotten over three days, nights 1 K down.
    private static double[][] Rooms(Random random, int hours)
    {
        var mean = 18 + 3 * random.NextDouble();
        return [.. Enumerable.Range(0, Scenarios).Select(_ =>
        {
            var (sums, weather) = (new double[hours + 1], 1.2 * Normal(random));
            for (var hour = 0; hour < hours; hour++)
            {
                weather += -weather / 72 + 1.2 * Math.Sqrt(2.0 / 72) * Normal(random);
                var celsius = mean - 1.5 * Math.Cos(2 * Math.PI * hour / (365.0 * 24)) - Math.Cos(2 * Math.PI * hour / 24) + weather;
                sums[hour + 1] = sums[hour] + Math.Pow(2, (celsius - 20) / 10);
            }
            return sums;
        })];
    }

    private static double At(double[] sums, double hour)
    {
        var whole = Math.Clamp((int)hour, 0, sums.Length - 2);
        return sums[whole] + (sums[whole + 1] - sums[whole]) * (hour - whole);
    }

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    // Abramowitz and Stegun 26.2.17, |error| < 7.5e-8.
    private static double Phi(double z)
    {
        var t = 1 / (1 + 0.2316419 * Math.Abs(z));
        var tail = Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI)
            * t * (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
        return z > 0 ? 1 - tail : tail;
    }
}
