namespace Pourwright.Cure.DataSheets;

/// <summary>What a resin is made for: it says around which literature values a fit begins.</summary>
public enum CureClass
{
    /// <summary>Slow, for castings some 40 mm deep: begins at <see cref="Readiness.ResinCureModel.DeepCasting"/>.</summary>
    DeepCasting,

    /// <summary>Quick, for coats up to about 10 mm: begins at <see cref="Readiness.ResinCureModel.FastCoating"/>.</summary>
    FastCoating,
}

/// <summary>What a maker prints about a resin system; whatever is not printed stays away.</summary>
/// <remarks>
/// The same quantity may come several times at different temperatures: two gel times tell of the activation energy, one does not.
/// </remarks>
public sealed record DataSheet
{
    /// <summary>Version or date printed on the sheet; the revision of the fitted model repeats it.</summary>
    public required string Version { get; init; }

    /// <summary>What the resin is made for.</summary>
    public required CureClass CureClass { get; init; }

    /// <summary>Times, depths and peaks, in any order, at most 12.</summary>
    public IReadOnlyList<SheetFigure> Figures { get; init; } = [];

    /// <summary>Epoxide equivalent weight of part A, in g/mol.</summary>
    public double? EpoxideEquivalentGramsPerMole { get; init; }

    /// <summary>Amine hydrogen equivalent weight of part B, in g/mol.</summary>
    public double? AmineHydrogenEquivalentGramsPerMole { get; init; }

    /// <summary>Density of part A, in kg/m³.</summary>
    public double? ADensityKgPerM3 { get; init; }

    /// <summary>Density of part B, in kg/m³.</summary>
    public double? BDensityKgPerM3 { get; init; }

    /// <summary>Parts of B to 100 parts of A by mass.</summary>
    public double? HardenerPartsPer100ResinByMass { get; init; }

    /// <summary>Parts of B to 100 parts of A by volume.</summary>
    public double? HardenerPartsPer100ResinByVolume { get; init; }

    internal void Check()
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(Version);
        CureRangeException.Check("Number of figures", Figures.Count, 0, 12, "");
        foreach (var figure in Figures)
            figure.Check();
        Check("Epoxide equivalent weight", EpoxideEquivalentGramsPerMole, 80, 1500, "g/mol");
        Check("Amine hydrogen equivalent weight", AmineHydrogenEquivalentGramsPerMole, 15, 600, "g/mol");
        Check("Density of part A", ADensityKgPerM3, 800, 2500, "kg/m³");
        Check("Density of part B", BDensityKgPerM3, 800, 2500, "kg/m³");
        Check("Parts of B to 100 of A by mass", HardenerPartsPer100ResinByMass, 1, 400, "");
        Check("Parts of B to 100 of A by volume", HardenerPartsPer100ResinByVolume, 1, 400, "");
    }

    private static void Check(string quantity, double? value, double lowest, double highest, string unit)
    {
        if (value is { } given)
            CureRangeException.Check(quantity, given, lowest, highest, unit);
    }
}
