using MathNet.Numerics.Distributions;
using Pourwright.Planning.CureGaps;

namespace Pourwright.Planning.Tests.CureGaps;

/// <summary>Invented scenarios, and classes drawn from them piece by piece.</summary>
internal static class DrawnPieces
{
    public const int Draws = 200_000;

    /// <summary>200 courses of the air and of the lot: about 90 h, spread by 8 to 20 %; a single pour by 4 to 10 %. Demo values.</summary>
    public static ReadyScenario[] Scenarios(int seed)
    {
        var random = new Random(seed);
        var (shared, single) = (0.08 + 0.12 * random.NextDouble(), 0.04 + 0.06 * random.NextDouble());
        return [.. Enumerable.Range(0, 200).Select(_ => new ReadyScenario(
            0.5 + random.NextDouble(), 90 * Math.Exp(shared * Normal.Sample(random, 0, 1)), single))];
    }

    /// <summary>Of so many drawn classes the share of which all pieces are ready by then.</summary>
    public static double ShareAllReady(ReadyScenario[] scenarios, int pieces, double hours)
    {
        var random = new Random(20260117);
        var chosen = new int[Draws];
        Categorical.Samples(random, chosen, [.. scenarios.Select(s => s.Weight)]);
        return chosen.Count(k => Enumerable.Range(0, pieces).All(_ =>
            scenarios[k].NominalHours * Math.Exp(scenarios[k].LnSd * Normal.Sample(random, 0, 1)) <= hours)) / (double)Draws;
    }
}
