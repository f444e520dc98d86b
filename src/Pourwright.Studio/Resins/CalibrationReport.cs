using System.Globalization;
using Pourwright.Cure.DataSheets;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Knowledge = Pourwright.V1.ResinCalibration.Types.Knowledge;

namespace Pourwright.Studio.Resins;

/// <summary>What a data sheet made of the cure model, for people and programs.</summary>
public static class CalibrationReport
{
    // Shares of the prior spread; our choices, no source.
    private const double LearnedMost = 0.5, PartlyMost = 0.9;

    public static ResinCalibration Of(ResinSystemRecord system, SheetCalibration calibration)
    {
        var fields = SheetOf.Read(system).Fields;
        return new()
        {
            ResinSystem = system.Name,
            ModelRevision = calibration.Model.Revision,
            Parameters = { calibration.Parameters.Select(ToProto) },
            Figures = { calibration.Figures.Select((fit, i) => ToProto(fit, fields[i])) },
            RatioCheck = calibration.Ratio is { } ratio ? ToProto(ratio) : null,
            RateFactorRatio = calibration.RateFactor,
            RateText = RateText(calibration),
            Cautions = { calibration.Cautions.Select(ToProto) },
        };
    }

    private static string RateText(SheetCalibration calibration) => string.Create(CultureInfo.InvariantCulture,
        $"Times of a thin piece may be off by a factor of {calibration.RateFactor:0.0#} either way (5 to 95 %), before lot, site and pour "
        + $"have their say; a deep casting warms itself and may be off by more.");

    private static ResinCalibration.Types.Parameter ToProto(ParameterFit fit) => new()
    {
        DisplayName = fit.Name,
        Unit = fit.Unit,
        PriorMedian = fit.PriorMedian,
        Fitted = fit.Fitted,
        SpreadUnit = fit.SpreadUnit,
        PriorSpread = fit.PriorSpread,
        PosteriorSpread = fit.PosteriorSpread,
        StillPriorRatio = fit.StillPrior,
        Knowledge = fit.StillPrior switch
        {
            <= LearnedMost => Knowledge.Learned,
            <= PartlyMost => Knowledge.Partly,
            _ => Knowledge.StillPrior,
        },
    };

    private static ResinCalibration.Types.Figure ToProto(FigureFit fit, string field) => new()
    {
        Field = field,
        DisplayName = fit.Figure.Name,
        Unit = fit.Figure.Unit,
        Printed = fit.Figure.Stated,
        Modelled = fit.Modelled,
        ResidualUnit = fit.Figure.ResidualUnit,
        Residual = fit.Residual,
        MisfitRatio = fit.Misfit,
    };

    private static ResinCalibration.Types.RatioCheck ToProto(RatioCheck ratio) => new()
    {
        PrintedHardenerPartsPer100Resin = ratio.PrintedByMass,
        VolumeHardenerPartsPer100Resin = ratio.FromVolume,
        Agrees = ratio.Agrees,
    };

    private static Caution ToProto(SheetCaution caution) => Cautions.Of(Reason(caution.Doubt), caution.Text, [.. caution.Values]);

    private static string Reason(SheetDoubt doubt) => doubt switch
    {
        SheetDoubt.RatioMismatch => Reasons.RatioMismatch,
        SheetDoubt.FigureFar => Reasons.SheetFigureFar,
        SheetDoubt.ParameterFar => Reasons.CureParameterFar,
        SheetDoubt.SheetUnused => Reasons.DataSheetUnused,
        _ => Reasons.FitUnsettled,
    };
}
