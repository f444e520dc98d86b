namespace Pourwright.Evidence.Epcis;

/// <summary>Units the studio's documents may carry: codes of UN/ECE Recommendation 20.</summary>
/// <remarks>KGM and CEL stand in GS1's examples; the other codes are from memory.</remarks>
public static class EpcisUnits
{
    private static readonly Dictionary<string, decimal> MilligramsPerUnit = new()
    {
        ["KGM"] = 1_000_000m, ["GRM"] = 1_000m, ["MGM"] = 1m, ["TNE"] = 1_000_000_000m,
    };

    private static readonly HashSet<string> OtherQuantities = ["LTR", "MLT", "MTR", "MTK", "H87"];

    private static readonly Dictionary<string, string[]> OfMeasurement = new()
    {
        ["Temperature"] = ["CEL", "KEL", "FAH"], ["RelativeHumidity"] = ["P1"],
    };

    public static bool IsQuantity(string unit) => MilligramsPerUnit.ContainsKey(unit) || OtherQuantities.Contains(unit);

    /// <summary>In mg; null where the unit weighs nothing.</summary>
    public static decimal? MassMg(decimal quantity, string? unit) =>
        unit is not null && MilligramsPerUnit.TryGetValue(unit, out var factor) ? quantity * factor : null;

    /// <summary>Null where any unit of Recommendation 20 will do.</summary>
    public static IReadOnlyList<string>? ForMeasurement(string type) => OfMeasurement.GetValueOrDefault(type);
}
