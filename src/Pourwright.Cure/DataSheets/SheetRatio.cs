namespace Pourwright.Cure.DataSheets;

/// <summary>The mix ratio by mass as printed and as it follows from the ratio by volume.</summary>
/// <param name="PrintedByMass">Parts of B to 100 of A by mass, as printed.</param>
/// <param name="FromVolume">The same from the ratio by volume and both densities.</param>
public sealed record RatioCheck(double PrintedByMass, double FromVolume)
{
    /// <summary>How far two printed ratios may differ: 3 % (our choice, about what rounded densities explain).</summary>
    public const double Tolerance = 0.03;

    /// <summary>Whether both agree within 3 %.</summary>
    public bool Agrees => Math.Abs(FromVolume / PrintedByMass - 1) <= Tolerance;
}

/// <summary>Parts, densities and what follows from them.</summary>
internal static class SheetRatio
{
    /// <summary>The ratio by mass that a ratio by volume stands for: mass B/A = volume B/A · ρ_B/ρ_A.</summary>
    private static double? ByMassFromVolume(DataSheet sheet) =>
        sheet.HardenerPartsPer100ResinByVolume * sheet.BDensityKgPerM3 / sheet.ADensityKgPerM3;

    /// <summary>Both ratios, where the sheet gives all four numbers.</summary>
    public static RatioCheck? Check(DataSheet sheet) =>
        (sheet.HardenerPartsPer100ResinByMass, ByMassFromVolume(sheet)) is ({ } printed, { } fromVolume)
            ? new(printed, fromVolume)
            : null;

    /// <summary>Density of the mix, in kg/m³: 1/ρ = w_A/ρ_A + w_B/ρ_B, volumes adding up; null without the numbers.</summary>
    public static double? MixDensityKgPerM3(DataSheet sheet)
    {
        if ((sheet.HardenerPartsPer100ResinByMass ?? ByMassFromVolume(sheet)) is not { } parts)
            return null;
        return (100 + parts) / (100 / sheet.ADensityKgPerM3 + parts / sheet.BDensityKgPerM3);
    }
}
