using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;

namespace Pourwright.Studio.Needs;

/// <summary>A mould, and the wood in it.</summary>
public sealed record MouldFill
{
    /// <summary>Inside, in mm.</summary>
    public required double LengthMm { get; init; }

    /// <summary>Inside, in mm.</summary>
    public required double WidthMm { get; init; }

    /// <summary>Of the resin, all layers together, in mm.</summary>
    public required double DepthMm { get; init; }

    /// <summary>Share of that volume that wood takes, 0 to below 1; left aside where the wood was weighed.</summary>
    public double WoodShare { get; init; }

    /// <summary>Weighed wood of one piece, in mg; null where nobody weighed it.</summary>
    public long? WoodMassMg { get; init; }

    /// <summary>Of that wood, in kg/m³.</summary>
    public double WoodDensityKgPerM3 { get; init; }

    public double CavityMm3 => LengthMm * WidthMm * DepthMm;

    /// <summary>In mm³: 1 kg/m³ is 10⁻³ mg/mm³.</summary>
    public double WoodMm3 => WoodMassMg is { } massMg ? massMg / (WoodDensityKgPerM3 * 1e-3) : CavityMm3 * WoodShare;

    /// <summary>What the resin fills, in mm³.</summary>
    public double VoidMm3 => CavityMm3 - WoodMm3;

    /// <summary>Faces of the wood, in mm².</summary>
    /// <remarks>
    /// Taken as two boards as long and thick as the mould, side by side with the resin between them: two broad faces, two ends
    /// and, of each board, two edges; 2 s L W + 2 s W D + 4 L D for a share s. Wood of another shape has other faces: then say
    /// more per m².
    /// </remarks>
    public double WoodFacesMm2 => WoodMm3 <= 0
        ? 0
        : WoodMm3 / CavityMm3 * (2 * LengthMm * WidthMm + 2 * WidthMm * DepthMm) + 4 * LengthMm * DepthMm;
}

/// <summary>What is poured into a mould or brushed on its wood.</summary>
/// <param name="System">Whose ratio and limits apply.</param>
/// <param name="DensityKgPerM3">Of the mix, in kg/m³.</param>
/// <param name="BatchMaxMg">The largest batch, in mg; null where none is known.</param>
public sealed record ResinTerms(ResinSystemRecord System, double DensityKgPerM3, long? BatchMaxMg);

/// <summary>One pour of several.</summary>
/// <param name="DepthMm">Of this layer alone, in mm.</param>
/// <param name="OffsetMs">After the first.</param>
public sealed record PlannedLayer(double DepthMm, long OffsetMs);

/// <summary>What the resin of a class is reckoned from.</summary>
public sealed record ResinNeedFacts
{
    /// <summary>How many are poured.</summary>
    public required int Pieces { get; init; }

    public required MouldFill Mould { get; init; }

    public required ResinTerms Pour { get; init; }

    /// <summary>The lowest first; one for a single pour.</summary>
    public required IReadOnlyList<PlannedLayer> Layers { get; init; }

    /// <summary>On all faces of the wood, in g/m².</summary>
    public double SealCoatGPerM2 { get; init; }

    /// <summary>What the seal coat is made of.</summary>
    public required ResinTerms SealCoat { get; init; }

    /// <summary>What stays in cups and buckets and leaks, as a share of what is needed.</summary>
    public required double LossShare { get; init; }
}

/// <summary>Masses of both parts, in mg.</summary>
public sealed record Parts(long AMassMg, long BMassMg)
{
    public static readonly Parts None = new(0, 0);

    public long MassMg => AMassMg + BMassMg;

    public static Parts operator +(Parts one, Parts other) => new(one.AMassMg + other.AMassMg, one.BMassMg + other.BMassMg);

    public static Parts operator *(long count, Parts parts) => new(count * parts.AMassMg, count * parts.BMassMg);
}

/// <summary>What a class needs of resin, down to the batch. Batches add up to the class to the milligram, pieces as well.</summary>
/// <param name="VoidMm3">What the resin fills in one mould, in mm³.</param>
/// <param name="SealCoat">Of one piece; nothing where there is no seal coat.</param>
/// <param name="Layers">Of one piece, the lowest first.</param>
/// <param name="Batches">In the order in which they are mixed.</param>
public sealed record ClassResin(double VoidMm3, Parts SealCoat, IReadOnlyList<Parts> Layers, IReadOnlyList<ResinBatch> Batches)
{
    /// <summary>Of one piece, seal coat and all layers.</summary>
    public Parts Piece => Layers.Aggregate(SealCoat, (sum, layer) => sum + layer);

    /// <summary>Of the class, of one resin system.</summary>
    public Parts Total(string system) =>
        Batches.Where(batch => batch.System.Name == system).Aggregate(Parts.None, (sum, batch) => sum + batch.Parts);
}

/// <summary>How much resin a class needs.</summary>
public static class NeedResin
{
    // A ratio in millionths: finer than any scale, and whole.
    private const double RatioSteps = 1e6;

    /// <summary>The masses of a class.</summary>
    /// <exception cref="Refusal">WOOD_FILLS_MOULD, DENSITY_MISSING.</exception>
    public static ClassResin Decide(ResinNeedFacts facts)
    {
        var voidMm3 = RequireVoid(facts.Mould);
        var withLoss = 1 + facts.LossShare;
        var pour = Split((long)Math.Round(voidMm3 * facts.Pour.DensityKgPerM3 * 1e-3 * withLoss), facts.Pour.System);
        // 1 g/m² is 10⁻³ mg/mm².
        var seal = Split((long)Math.Round(facts.Mould.WoodFacesMm2 * facts.SealCoatGPerM2 * 1e-3 * withLoss), facts.SealCoat.System);
        var layers = SplitLayers(pour, facts.Layers);
        // Where no limit is known, no batch is larger than what one piece takes at once: that much is mixed anyhow.
        var pourMostMg = facts.Pour.BatchMaxMg ?? layers.Max(layer => layer.MassMg);
        var sealMostMg = facts.SealCoat.BatchMaxMg ?? (facts.SealCoat.System.Name == facts.Pour.System.Name ? Math.Max(pourMostMg, seal.MassMg) : seal.MassMg);
        return new(voidMm3, seal, layers,
        [
            .. SplitBatches.Of(facts.SealCoat.System, sealMostMg, seal, facts.Pieces, layer: 0),
            .. layers.SelectMany((layer, i) => SplitBatches.Of(facts.Pour.System, pourMostMg, layer, facts.Pieces, i + 1)),
        ]);
    }

    /// <summary>Hardener for 100 of resin by mass.</summary>
    /// <exception cref="Refusal">DENSITY_MISSING where the ratio counts volumes and a density is not known.</exception>
    public static double HardenerPartsByMass(ResinSystemRecord system)
    {
        if (system.Basis != Basis.Volume) return system.HardenerPartsPer100Resin;
        if (system is { ADensityKgPerM3: { } a, BDensityKgPerM3: { } b }) return system.HardenerPartsPer100Resin * b / a;
        throw Refusal.Precondition(Reasons.DensityMissing,
            $"{system.DisplayName} is mixed {system.HardenerPartsPer100Resin:0.##} for 100 by volume, and its densities are not known: nobody can say what to weigh. "
            + "Create the resin system anew with both densities of its data sheet.",
            ("resin_system", ResourceNames.IdOf(system.Name)), ("hardener_parts_per_100_resin", $"{system.HardenerPartsPer100Resin:0.##}"));
    }

    /// <summary>A mass as its two parts.</summary>
    internal static Parts Split(long massMg, ResinSystemRecord system)
    {
        var parts = LargestRemainder.Split(massMg, [(long)(100 * RatioSteps), (long)Math.Round(HardenerPartsByMass(system) * RatioSteps)]);
        return new(parts[0], parts[1]);
    }

    private static Parts[] SplitLayers(Parts pour, IReadOnlyList<PlannedLayer> layers)
    {
        // Depths in µm.
        long[] depths = [.. layers.Select(layer => (long)Math.Round(layer.DepthMm * 1000))];
        return [.. LargestRemainder.Split(pour.AMassMg, depths).Zip(LargestRemainder.Split(pour.BMassMg, depths), (a, b) => new Parts(a, b))];
    }

    private static double RequireVoid(MouldFill mould)
    {
        if (mould.VoidMm3 > 0) return mould.VoidMm3;
        var (wood, cavity) = ($"{mould.WoodMm3 / 1e6:0.00}", $"{mould.CavityMm3 / 1e6:0.00}");
        throw Refusal.Precondition(Reasons.WoodFillsMould,
            $"The wood takes {wood} L and the mould holds {cavity} L: nothing is left for the resin. Check the wood's mass and density, or the inside of the mould.",
            ("wood_litres", wood), ("cavity_litres", cavity));
    }
}
