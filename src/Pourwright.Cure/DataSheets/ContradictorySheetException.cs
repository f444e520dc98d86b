using System.Globalization;

namespace Pourwright.Cure.DataSheets;

/// <summary>Two figures of a data sheet that no resin like those of its class can both have.</summary>
/// <remarks>
/// The rule: a figure lies more than three spreads from what all others say; named with it is the one with which, the two alone,
/// it disagrees most.
/// </remarks>
public sealed class ContradictorySheetException : Exception
{
    internal ContradictorySheetException(string version, FigureFit first, FigureFit second, double spreads)
        : base(string.Create(CultureInfo.InvariantCulture,
            $"Data sheet {version} contradicts itself: {Numbers(first)}, but {Numbers(second)}. "
            + $"The two alone lie {spreads:0.0} spreads apart. Check both for a misprint or a wrong unit, or leave out one.")) =>
        (First, Second, Spreads) = (first, second, spreads);

    /// <summary>The one that stands first on the sheet, with what the best compromise says in its place.</summary>
    public FigureFit First { get; }

    /// <summary>The other.</summary>
    public FigureFit Second { get; }

    /// <summary>How far the two alone disagree, in spreads of both together.</summary>
    public double Spreads { get; }

    private static string Numbers(FigureFit fit) => string.Create(CultureInfo.InvariantCulture,
        $"{fit.Figure.Name} is {fit.Figure.Stated:0.##} {fit.Figure.Unit} (best compromise {fit.Modelled:0.##})");
}
