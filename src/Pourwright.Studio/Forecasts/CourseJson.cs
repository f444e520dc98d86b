using System.Text.Json;
using Pourwright.Cure.Readiness;

namespace Pourwright.Studio.Forecasts;

/// <summary>The middle case in a column: `[[h, base °C, middle °C, top °C, least conversion, most conversion, least Tg − T in K], ...]`.</summary>
/// <remarks>A piece has hundreds of forecasts: numbers alone, as fine as a chart shows them, take a tenth of the messages' JSON.</remarks>
public static class CourseJson
{
    public static string Write(IEnumerable<CureSample> course) => JsonSerializer.Serialize(course.Select(Numbers));

    public static IReadOnlyList<CureSample> Read(string json) =>
        [.. JsonSerializer.Deserialize<double[][]>(json)!.Select(n => new CureSample(n[0], n[1], n[2], n[3], n[4], n[5], n[6]))];

    private static double[] Numbers(CureSample sample) =>
    [
        sample.AtHours,
        Math.Round(sample.BaseCelsius, 2),
        Math.Round(sample.MiddleCelsius, 2),
        Math.Round(sample.TopCelsius, 2),
        Math.Round(sample.LeastConversion, 4),
        Math.Round(sample.MostConversion, 4),
        Math.Round(sample.LeastTgMinusTKelvin, 2),
    ];
}
