using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Paper.Labels;

/// <summary>Labels on A4, two a row and six rows, with lines to cut along. Lengths are in points.</summary>
public static class LabelSheet
{
    private const int PerRow = 2;
    private const double Gap = 10;
    private const double Height = 110;
    private const double Inset = 7;

    /// <summary>34 mm: a module of a usual address of 60 characters is 0.7 mm wide, of the longest 0.4 mm.</summary>
    private const double QrSide = 96;

    /// <summary>What the code may take of the height: three lines go below it.</summary>
    private const double CodeHeight = 54;

    /// <summary>Largest first.</summary>
    private static readonly PdfPen[] CodePens = [.. new[] { 38.0, 30, 24, 19, 15, 12, 10, 8 }.Select(size => new PdfPen(size, true, Ink))];

    private static readonly PdfPen Plain = new(8, false, Ink);

    private static double Width => (PdfSheet.Width - Gap * (PerRow - 1)) / PerRow;

    private static double TextWidth => Width - QrSide - 2 * Inset;

    public static byte[] Print(IReadOnlyList<Label> labels, DateTimeOffset made)
    {
        using var sheet = new PdfSheet("Labels", "Labels of containers and pieces", made);
        foreach (var row in labels.Chunk(PerRow))
        {
            sheet.Need(Height);
            foreach (var (index, label) in row.Index())
                Draw(sheet, label, index * (Width + Gap));
            sheet.Skip(Height + Gap);
        }
        return sheet.Finish("Stick them on before gloves go on.", "");
    }

    private static void Draw(PdfSheet sheet, Label label, double x)
    {
        sheet.Box(PaperColours.Rule, White, x, 0, Width, Height);
        DrawQr(sheet, label.Address, x + Width - QrSide - 2, (Height - QrSide) / 2);
        sheet.Write(label.Kind.ToUpperInvariant(), PdfPen.Kicker, x + Inset, Inset);
        var dy = DrawCode(sheet, label.Code, x + Inset, Inset + PdfPen.Kicker.LineHeight);
        foreach (var line in label.Lines.SelectMany(line => sheet.Wrap(line, Plain, TextWidth)))
        {
            sheet.Write(line, Plain, x + Inset, dy);
            dy += Plain.LineHeight;
        }
    }

    private static double DrawCode(PdfSheet sheet, string code, double x, double dy)
    {
        var pen = CodePens.FirstOrDefault(pen => Fits(sheet, code, pen)) ?? CodePens[^1];
        foreach (var line in sheet.Wrap(code, pen, TextWidth))
        {
            sheet.Write(line, pen, x, dy);
            dy += pen.LineHeight;
        }
        return dy + 2;
    }

    /// <summary>On one line while that is large enough to read at arm's length, then on several.</summary>
    private static bool Fits(PdfSheet sheet, string code, PdfPen pen) =>
        sheet.Measure(code, pen) <= TextWidth || pen.SizePt <= 12 && sheet.Wrap(code, pen, TextWidth).Count * pen.LineHeight <= CodeHeight;

    /// <summary>Rows overlap by a hair, or a viewer's smoothing draws white lines through the code.</summary>
    private static void DrawQr(PdfSheet sheet, string address, double x, double dy)
    {
        var modules = QrModules.Of(address);
        var side = QrSide / modules.Side;
        foreach (var run in modules.Dark)
            sheet.Fill(Ink, x + run.X * side, dy + run.Y * side, run.Length * side, side + 0.05);
    }
}
