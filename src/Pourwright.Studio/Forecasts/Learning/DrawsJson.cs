using System.Text.Json;
using Pourwright.Cure.Learning;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>Weighted draws in a column. Scores are kept to 0.0001 of a prior spread: a hundredth of what moves them between two lessons.</summary>
public static class DrawsJson
{
    public static string Write(WeightedDraws draws) => JsonSerializer.Serialize(draws with
    {
        Scores = draws.Scores.ToDictionary(effect => effect.Key, effect => (IReadOnlyList<double>)[.. effect.Value.Select(Rounded)]),
    });

    public static WeightedDraws Read(string json) => JsonSerializer.Deserialize<WeightedDraws>(json)!;

    private static double Rounded(double score) => Math.Round(score, 4);
}
