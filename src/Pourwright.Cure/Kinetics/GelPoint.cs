namespace Pourwright.Cure.Kinetics;

/// <summary>Conversion at which the liquid becomes one network and stops flowing, without unit.</summary>
/// <remarks>
/// α_gel = 1/√(r (f − 1)(g − 1)) for equal reactivity and no rings [Flory1941] [Stockmayer1943]; f and g are the functionalities
/// of the two parts and r ≤ 1 their ratio of reactive groups. Real epoxies gel at about 0.55 to 0.65 (from memory, not
/// re-checked).
/// </remarks>
public static class GelPoint
{
    /// <summary>1/√3 = 0.57735: diepoxide (f = 2) with a diamine of four hydrogens (g = 4) at r = 1.</summary>
    public static readonly double DiepoxideDiamine = Conversion(2, 4, 1);

    /// <summary>Gel conversion of the part in excess, without unit.</summary>
    public static double Conversion(int functionalityOfResin, int functionalityOfHardener, double groupRatio) =>
        1 / Math.Sqrt(groupRatio * (functionalityOfResin - 1) * (functionalityOfHardener - 1));
}
