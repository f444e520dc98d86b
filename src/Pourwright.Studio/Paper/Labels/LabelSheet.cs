using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Paper.Labels;

/// <summary>Labels on A4, two a row and six rows, with lines to cut along. Lengths are in points.</summary>
public static class LabelSheet
{
    private const int PerRow = 2;
    private const double Gap = 10;

    public static byte[] Print(IReadOnlyList<Label> labels, DateTimeOffset made)
    {
        using var sheet = new PdfSheet("Labels", "Labels of containers and pieces", made);
        foreach (var row in labels.Chunk(PerRow))
        {
            sheet.Need(LabelFace.Height);
            foreach (var (index, label) in row.Index())
                Draw(sheet, label, index * (LabelFace.Width + Gap));
            sheet.Skip(LabelFace.Height + Gap);
        }
        return sheet.Finish("Stick them on before gloves go on.", "");
    }

    private static void Draw(PdfSheet sheet, Label label, double x)
    {
        sheet.Box(PaperColours.Rule, White, x, 0, LabelFace.Width, LabelFace.Height);
        DrawQr(sheet, label.Address, x + LabelFace.QrX, LabelFace.QrY);
        foreach (var line in LabelFace.Lines(label, sheet.Measure))
            sheet.Write(line.Text, line.Pen, x + line.X, line.Y);
    }

    /// <summary>Rows overlap by a hair, or a viewer's smoothing draws white lines through the code.</summary>
    private static void DrawQr(PdfSheet sheet, string address, double x, double dy)
    {
        var modules = QrModules.Of(address);
        var side = LabelFace.QrSide / modules.Side;
        foreach (var run in modules.Dark)
            sheet.Fill(Ink, x + run.X * side, dy + run.Y * side, run.Length * side, side + 0.05);
    }
}
