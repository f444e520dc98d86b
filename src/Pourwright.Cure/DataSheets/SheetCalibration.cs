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

/// <summary>A resin's cure model fitted to its data sheet, and what stands behind each number.</summary>
/// <param name="Model">Fitted; its revision says so and from which version of the sheet.</param>
/// <param name="Parameters">Each parameter, learned or still prior.</param>
/// <param name="Figures">Each figure with its residual, in the order of the sheet.</param>
/// <param name="Ratio">Ratio by mass against ratio by volume; null where the sheet does not give all four numbers.</param>
/// <param name="Cautions">What a person should look at before the model is used, in whole sentences.</param>
public sealed record SheetCalibration(
    ResinCureModel Model, IReadOnlyList<ParameterFit> Parameters, IReadOnlyList<FigureFit> Figures,
    RatioCheck? Ratio, IReadOnlyList<string> Cautions)
{
    /// <summary>One parameter.</summary>
    public ParameterFit this[CureParameter parameter] => Parameters.Single(p => p.Parameter == parameter);
}
