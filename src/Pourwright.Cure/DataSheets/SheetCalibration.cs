using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>One number of the model that a data sheet may tell of.</summary>
public enum CureParameter
{
    /// <summary>Scale of k1 and k2 together, against the resin of the class; without unit.</summary>
    RateScale,

    /// <summary>k2/k1 at 25 °C, without unit.</summary>
    RateRatio,

    /// <summary>k1 at 25 °C, in 1/s; follows from the two above.</summary>
    K1,

    /// <summary>k2 at 25 °C, in 1/s; follows from the first two.</summary>
    K2,

    /// <summary>n, without unit.</summary>
    Order,

    /// <summary>E2, in J/mol; E1 keeps its ratio to it.</summary>
    ActivationEnergy,

    /// <summary>Heat of reaction, in J/kg.</summary>
    HeatOfReaction,

    /// <summary>Tg∞, in °C.</summary>
    FinalGlass,

    /// <summary>
    /// Factor on the heat-transfer coefficients of the maker's own test pieces, without unit: no part of the model.
    /// </summary>
    HeatLoss,
}

/// <summary>What a fit made of one parameter.</summary>
/// <param name="Parameter">Which.</param>
/// <param name="PriorMedian">Before the sheet, in the parameter's unit.</param>
/// <param name="Fitted">After it, in the same unit.</param>
/// <param name="PriorSpread">Standard deviation before, in ln, or in K for Tg∞.</param>
/// <param name="PosteriorSpread">Standard deviation after, in the same.</param>
public sealed record ParameterFit(
    CureParameter Parameter, double PriorMedian, double Fitted, double PriorSpread, double PosteriorSpread)
{
    /// <summary>What it is, for people.</summary>
    public string Name => Parameter switch
    {
        CureParameter.RateScale => "Rate scale",
        CureParameter.RateRatio => "k2/k1 at 25 °C",
        CureParameter.K1 => "k1 at 25 °C",
        CureParameter.K2 => "k2 at 25 °C",
        CureParameter.Order => "Order n",
        CureParameter.ActivationEnergy => "Activation energy E2",
        CureParameter.HeatOfReaction => "Heat of reaction",
        CureParameter.FinalGlass => "Final glass transition",
        _ => "Heat loss of the maker's pieces",
    };

    /// <summary>Unit of both values; empty where there is none.</summary>
    public string Unit => Parameter switch
    {
        CureParameter.K1 or CureParameter.K2 => "1/s",
        CureParameter.ActivationEnergy => "J/mol",
        CureParameter.HeatOfReaction => "J/kg",
        CureParameter.FinalGlass => "°C",
        _ => "",
    };

    /// <summary>Unit of both spreads: ln, or K.</summary>
    public string SpreadUnit => Parameter == CureParameter.FinalGlass ? "K" : "ln";

    /// <summary>Posterior over prior spread: near 1 the value is still the literature's, near 0 the sheet's.</summary>
    public double StillPrior => PosteriorSpread / PriorSpread;
}

/// <summary>What a fit made of one figure.</summary>
/// <param name="Figure">As printed.</param>
/// <param name="Modelled">What the fitted model says in its place, in the figure's unit.</param>
public sealed record FigureFit(SheetFigure Figure, double Modelled)
{
    /// <summary>ln(modelled/printed), or for a peak modelled − printed in K; positive when the model says more.</summary>
    public double Residual => Figure.Residual(Modelled);

    /// <summary>Modelled − printed, in the figure's own unit: plain hours, mm or K.</summary>
    public double PlainResidual => Modelled - Figure.Stated;

    /// <summary>What the fit counted, in spreads of the figure; for a maximum depth only what passes it.</summary>
    public double Misfit => Figure.Misfit(Modelled);
}

/// <summary>Why a calibration wants a second look.</summary>
public enum SheetDoubt
{
    /// <summary>Ratio by mass and ratio by volume do not belong together.</summary>
    RatioMismatch,

    /// <summary>A figure lies far from the fitted model.</summary>
    FigureFar,

    /// <summary>A parameter had to move far from the literature.</summary>
    ParameterFar,

    /// <summary>The fit ended before it settled.</summary>
    Unsettled,

    /// <summary>The sheet could not be fitted at all: the model is that of the class.</summary>
    SheetUnused,
}

/// <summary>What a person should look at before a model is used.</summary>
/// <param name="Doubt">Which kind.</param>
/// <param name="Text">Whole sentences: what is odd, and what to do.</param>
/// <param name="Values">Every value of the text, by a name in snake case.</param>
public sealed record SheetCaution(SheetDoubt Doubt, string Text, params IReadOnlyList<(string Name, string Value)> Values);

/// <summary>A resin's cure model fitted to its data sheet, and what stands behind each number.</summary>
/// <param name="Model">Fitted; its revision says so and from which version of the sheet.</param>
/// <param name="Parameters">Each parameter, learned or still prior.</param>
/// <param name="Figures">Each figure with its residual, in the order of the sheet.</param>
/// <param name="Ratio">Ratio by mass against ratio by volume; null where the sheet does not give all four numbers.</param>
/// <param name="Cautions">What a person should look at before the model is used.</param>
/// <param name="RateLnSd">
/// Standard deviation, in ln, that the sheet leaves to the rate, 0.10 to 0.35: that of the demold time of a thin piece at 20 °C,
/// see <see cref="RateSpread"/>.
/// </param>
public sealed record SheetCalibration(
    ResinCureModel Model, IReadOnlyList<ParameterFit> Parameters, IReadOnlyList<FigureFit> Figures,
    RatioCheck? Ratio, IReadOnlyList<SheetCaution> Cautions, double RateLnSd)
{
    /// <summary>One parameter.</summary>
    public ParameterFit this[CureParameter parameter] => Parameters.Single(p => p.Parameter == parameter);

    /// <summary>
    /// Factor by which the rate, and with it every time of a thin piece, may be off either way, in nine cases of ten:
    /// e^(1.645 · RateLnSd), without unit. A deep casting warms itself and may be off by more.
    /// </summary>
    public double RateFactor => Math.Exp(1.645 * RateLnSd);
}
