using System.Globalization;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.DataSheets;

/// <summary>From a data sheet to a cure model.</summary>
/// <remarks>
/// A sheet fixes three or four combinations of numbers, not all: the rest stays where the literature puts it, and the answer says
/// which is which. Residuals in ln of time, priors normal in ln; see <see cref="SheetPrior"/> and <see cref="SheetFit"/>.
/// </remarks>
public static class SheetCalibrator
{
    private const double FarSpreads = 2;

    /// <summary>Fits a model to whatever the sheet gives; pure, the same sheet gives the same model.</summary>
    /// <exception cref="CureRangeException">A value is outside the range in which the model may be asked.</exception>
    /// <exception cref="ContradictorySheetException">Two figures cannot both be true of one resin.</exception>
    public static SheetCalibration Calibrate(DataSheet sheet)
    {
        sheet.Check();
        var prior = new SheetPrior(sheet);
        var (rows, owners) = Rows(sheet);
        var fit = new SheetFit(prior, rows);
        FigureFit[] figures = [.. rows.Zip(fit.Modelled, (figure, modelled) => new FigureFit(figure, modelled))];
        if (Disagreement.Of(fit, owners) is var (first, second, spreads))
            throw new ContradictorySheetException(sheet.Version, figures[first], figures[second], spreads);
        var candidate = prior.At(fit.U);
        ParameterFit[] parameters = [.. Parameters(prior, fit, candidate)];
        var ratio = SheetRatio.Check(sheet);
        return new(
            candidate.Resin with { Revision = Revision(prior, sheet) }, parameters, figures[..sheet.Figures.Count], ratio,
            [.. Cautions(fit, parameters, figures, ratio)], RateSpread.LnSd(fit, candidate.Resin.Reaction));
    }

    // The figures of the sheet, then what they imply; and the figure to which each belongs.
    private static (SheetFigure[] Rows, int[] Owners) Rows(DataSheet sheet)
    {
        var implied = sheet.Figures.SelectMany((figure, owner) => figure.Implied(sheet).Select(row => (row, owner)));
        var rows = sheet.Figures.Select((row, owner) => (row, owner)).Concat(implied).ToArray();
        return ([.. rows.Select(r => r.row)], [.. rows.Select(r => r.owner)]);
    }

    // A sheet that says nothing about the cure leaves the resin of the class under its own name.
    private static string Revision(SheetPrior prior, DataSheet sheet) => sheet.Figures.Count switch
    {
        0 when prior.IsOfTheClass => prior.Median.Revision,
        1 => $"{prior.Median.Revision} fitted to data sheet {sheet.Version} (1 figure)",
        var count => string.Create(
            CultureInfo.InvariantCulture, $"{prior.Median.Revision} fitted to data sheet {sheet.Version} ({count} figures)"),
    };

    private static IEnumerable<ParameterFit> Parameters(SheetPrior prior, SheetFit fit, Candidate candidate)
    {
        var (before, after) = (prior.Median, candidate.Resin);
        var (old, law) = (before.Reaction.Chemistry, after.Reaction.Chemistry);
        // Each row is a sum of weights times parameters; without figures its variance is that of the prior.
        ParameterFit Row(CureParameter parameter, double median, double fitted, params (int Index, double Weight)[] parts)
        {
            var weights = new double[SheetPrior.Parameters];
            foreach (var (index, weight) in parts)
                weights[index] = weight * prior.Spread(index);
            return new(parameter, median, fitted, Math.Sqrt(weights.Sum(w => w * w)), fit.Deviation(weights));
        }

        yield return Row(CureParameter.RateScale, 1, Math.Exp(fit.U[0] * prior.Spread(0)), (0, 1));
        yield return Row(
            CureParameter.RateRatio, old.K2PerSecond / old.K1PerSecond, law.K2PerSecond / law.K1PerSecond, (1, 1));
        yield return Row(CureParameter.K1, old.K1PerSecond, law.K1PerSecond, (0, 1), (1, -0.5));
        yield return Row(CureParameter.K2, old.K2PerSecond, law.K2PerSecond, (0, 1), (1, 0.5));
        yield return Row(CureParameter.Order, old.N, law.N, (2, 1));
        yield return Row(CureParameter.ActivationEnergy, old.E2JoulesPerMole, law.E2JoulesPerMole, (3, 1));
        yield return Row(CureParameter.HeatOfReaction, before.HeatOfReactionJPerKg, after.HeatOfReactionJPerKg, (4, 1));
        yield return Row(
            CureParameter.FinalGlass, before.Reaction.Glass.CuredKelvin - PieceRun.ZeroCelsius,
            after.Reaction.Glass.CuredKelvin - PieceRun.ZeroCelsius, (SheetPrior.FinalGlass, 1));
        yield return Row(CureParameter.HeatLoss, 1, candidate.HeatLossFactor, (6, 1));
    }

    private static IEnumerable<SheetCaution> Cautions(
        SheetFit fit, ParameterFit[] parameters, FigureFit[] figures, RatioCheck? ratio)
    {
        if (ratio is { Agrees: false })
            yield return MismatchOf(ratio);
        foreach (var figure in figures.Where(f => Math.Abs(f.Misfit) > FarSpreads))
            yield return FarOf(figure);
        foreach (var parameter in parameters.Where(p => Math.Abs(Moved(p)) > FarSpreads))
            yield return FarOf(parameter);
        if (!fit.IsSettled)
            yield return new(
                SheetDoubt.Unsettled, "The fit did not settle: treat every fitted value as a guess and cast a test piece.");
    }

    private static SheetCaution MismatchOf(RatioCheck ratio)
    {
        var (printed, fromVolume) = (Text($"{ratio.PrintedByMass:0.##}"), Text($"{ratio.FromVolume:0.##}"));
        return new(
            SheetDoubt.RatioMismatch,
            $"The printed ratio by mass is 100:{printed}, the one by volume with both densities gives 100:{fromVolume}: more than "
            + Text($"{RatioCheck.Tolerance:0 %} apart. Ask the maker which holds first."),
            ("printed_by_mass", printed), ("from_volume", fromVolume));
    }

    private static SheetCaution FarOf(FigureFit fit)
    {
        var (printed, modelled, spreads) = (Text($"{fit.Figure.Stated:0.##}"), Text($"{fit.Modelled:0.##}"), Text($"{Math.Abs(fit.Misfit):0.0}"));
        return new(
            SheetDoubt.FigureFar,
            $"{fit.Figure.Name}: the sheet says {printed} {fit.Figure.Unit}, the fitted model {modelled}, {spreads} spreads apart. "
            + "Trust neither without a test piece.",
            ("figure", fit.Figure.Name), ("printed", printed), ("unit", fit.Figure.Unit), ("modelled", modelled), ("spreads", spreads));
    }

    private static SheetCaution FarOf(ParameterFit fit)
    {
        var (median, fitted, spreads) = (Text($"{fit.PriorMedian:g3}"), Text($"{fit.Fitted:g3}"), Text($"{Math.Abs(Moved(fit)):0.0}"));
        return new(
            SheetDoubt.ParameterFar,
            $"{fit.Name} moved from {median} to {fitted} {fit.Unit}".TrimEnd()
            + $", {spreads} spreads of the literature. Check that the class of the resin is right.",
            ("parameter", fit.Name), ("prior_median", median), ("fitted", fitted), ("unit", fit.Unit), ("spreads", spreads));
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static double Moved(ParameterFit parameter) => (parameter.SpreadUnit == "K"
        ? parameter.Fitted - parameter.PriorMedian
        : Math.Log(parameter.Fitted / parameter.PriorMedian)) / parameter.PriorSpread;
}
