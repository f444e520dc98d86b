using System.Globalization;
using Pourwright.Cli.Kernel;
using Pourwright.V1;
using Spectre.Console.Rendering;
using static Pourwright.V1.ResinCalibration.Types;

namespace Pourwright.Cli.Nouns;

/// <summary>What a data sheet made of the cure model, to be read.</summary>
public static class CalibrationView
{
    public static IRenderable Card(ResinCalibration calibration) => Sheets.Stack(
    [
        Sheets.Card($"Calibration of {ResourceNames.Brief(calibration.ResinSystem)}",
            ("Model", calibration.ModelRevision),
            ("How sure", calibration.RateText),
            ("Ratio by mass", calibration.RatioCheck is { } ratio ? Ratio(ratio) : default)),
        Sheets.Rows("The sheet gives no figure to fit: the model is that of the class.", ["Figure", "Sheet", "Model", "Off by"],
            calibration.Figures.Select(figure => new Cell[]
            {
                figure.DisplayName, $"{Number(figure.Printed)} {figure.Unit}", $"{Number(figure.Modelled)} {figure.Unit}",
                new(Off(figure), Math.Abs(figure.MisfitRatio) > 2 ? Tone.Wait : Tone.Plain),
            })),
        Sheets.Rows("", ["Parameter", "Literature", "Fitted", "Spread", "From the sheet"], calibration.Parameters.Select(parameter => new Cell[]
        {
            parameter.DisplayName, $"{Number(parameter.PriorMedian)} {parameter.Unit}", $"{Number(parameter.Fitted)} {parameter.Unit}",
            $"{Spread(parameter.PriorSpread, parameter)} -> {Spread(parameter.PosteriorSpread, parameter)}", Words.Of(parameter.Knowledge),
        })),
        .. Cautions.Show(calibration.Cautions),
    ]);

    private static Cell Ratio(RatioCheck ratio) => new(
        string.Create(CultureInfo.InvariantCulture,
            $"{(ratio.Agrees ? "AGREES" : "DIFFERS")}: printed 100 : {ratio.PrintedHardenerPartsPer100Resin:0.##}, "
            + $"by volume and densities 100 : {ratio.VolumeHardenerPartsPer100Resin:0.##}"),
        ratio.Agrees ? Tone.Good : Tone.Bad);

    // A residual in ln as the share it stands for: e^0.1 − 1 = 10.5 %.
    private static string Off(Figure figure) => figure.ResidualUnit == "ln"
        ? string.Create(CultureInfo.InvariantCulture, $"{100 * (Math.Exp(figure.Residual) - 1):+0;-0;0} %")
        : string.Create(CultureInfo.InvariantCulture, $"{figure.Residual:+0.0;-0.0;0.0} {figure.ResidualUnit}");

    private static string Spread(double spread, Parameter parameter) => parameter.SpreadUnit == "ln"
        ? string.Create(CultureInfo.InvariantCulture, $"{100 * spread:0} %")
        : string.Create(CultureInfo.InvariantCulture, $"{spread:0.0} {parameter.SpreadUnit}");

    private static string Number(double value) => Math.Abs(value) is >= 0.01 and < 1e4
        ? value.ToString("0.##", CultureInfo.InvariantCulture)
        : value.ToString("0.##e0", CultureInfo.InvariantCulture);
}
