using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Paper.Labels;

/// <summary>Where everything stands on a label, on a sheet and on a picture alike. Lengths are in points, from its top left corner.</summary>
public static class LabelFace
{
    /// <summary>85 mm.</summary>
    public const double Width = 241.64;

    /// <summary>39 mm.</summary>
    public const double Height = 110;

    /// <summary>34 mm: a module of a usual address of 60 characters is 0.7 mm wide, of the longest 0.4 mm.</summary>
    public const double QrSide = 96;

    public const double QrX = Width - QrSide - 2;
    public const double QrY = (Height - QrSide) / 2;

    private const double Inset = 7;
    private const double TextWidth = Width - QrSide - 2 * Inset;

    /// <summary>What the code may take of the height: three lines go below it.</summary>
    private const double CodeHeight = 54;

    /// <summary>Largest first.</summary>
    private static readonly PdfPen[] CodePens = [.. new[] { 38.0, 30, 24, 19, 15, 12, 10, 8 }.Select(size => new PdfPen(size, true, Ink))];

    private static readonly PdfPen Plain = new(8, false, Ink);

    /// <summary>Every line of text, by the top left corner of its letters.</summary>
    /// <param name="measure">Width of a text.</param>
    public static IEnumerable<LabelLine> Lines(Label label, Func<string, PdfPen, double> measure)
    {
        var y = Inset;
        yield return new(label.Kind.ToUpperInvariant(), PdfPen.Kicker, Inset, y);
        y += PdfPen.Kicker.LineHeight;
        var pen = CodePens.FirstOrDefault(pen => Fits(label.Code, pen, measure)) ?? CodePens[^1];
        foreach (var line in Wrapped(label.Code, pen, measure))
        {
            yield return new(line, pen, Inset, y);
            y += pen.LineHeight;
        }
        y += 2;
        foreach (var line in label.Lines.SelectMany(line => Wrapped(line, Plain, measure)))
        {
            yield return new(line, Plain, Inset, y);
            y += Plain.LineHeight;
        }
    }

    /// <summary>On one line while that is large enough to read at arm's length, then on several.</summary>
    private static bool Fits(string code, PdfPen pen, Func<string, PdfPen, double> measure) =>
        measure(code, pen) <= TextWidth || pen.SizePt <= 12 && Wrapped(code, pen, measure).Count * pen.LineHeight <= CodeHeight;

    private static IReadOnlyList<string> Wrapped(string text, PdfPen pen, Func<string, PdfPen, double> measure) =>
        LineBreaks.Wrap(text, TextWidth, part => measure(part, pen));
}

/// <summary>A line of text on a label.</summary>
public sealed record LabelLine(string Text, PdfPen Pen, double X, double Y);
