using PdfSharp.Drawing;
using PdfSharp.Pdf;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Paper;

/// <summary>A run of A4 pages with a pen that moves down. Lengths are in points (1/72 inch).</summary>
public sealed class PdfSheet : IDisposable
{
    /// <summary>18 mm.</summary>
    public const double Margin = 51;

    private const double PageWidth = 595.28;
    private const double PageHeight = 841.89;
    private const double FooterHeight = 30;

    private readonly PdfDocument _document = new();
    private readonly double _scale;
    private XGraphics _graphics = null!;

    /// <param name="title">Of the document.</param>
    /// <param name="subject">Of the document.</param>
    /// <param name="made">When it was written.</param>
    /// <param name="scale">Everything is printed so much smaller, so that more fits a page; above 0, up to 1.</param>
    public PdfSheet(string title, string subject, DateTimeOffset made, double scale = 1)
    {
        _scale = scale;
        PaperFonts.Use();
        _document.Info.Title = title;
        _document.Info.Subject = subject;
        _document.Info.Creator = "Pourwright";
        _document.Info.CreationDate = made.UtcDateTime;
        _document.Language = "en";
        TurnPage();
    }

    /// <summary>From margin to margin, in print of the usual size.</summary>
    public static double Width => PageWidth - 2 * Margin;

    /// <summary>From margin to margin: smaller print gets more on a line.</summary>
    public double LineWidth => Width / _scale;

    /// <summary>From the top margin to the footer.</summary>
    public static double Height => PageHeight - 2 * Margin - FooterHeight / 2;

    /// <summary>Where the next thing goes.</summary>
    public double Y { get; private set; }

    private double Bottom => (Margin + Height) / _scale;

    /// <summary>Printed smaller than usual, since room is short.</summary>
    public bool IsSmall => _scale < 1;

    /// <summary>Pages so far.</summary>
    public int Pages => _document.PageCount;

    /// <summary>Starts a page where so much does not fit any more; true if it did.</summary>
    public bool Need(double height)
    {
        if (Fits(height)) return false;
        TurnPage();
        return true;
    }

    /// <summary>Whether so much still fits on this page.</summary>
    public bool Fits(double height) => Y + height <= Bottom;

    /// <summary>Leaves some room.</summary>
    public void Skip(double height) => Y += height;

    /// <summary>Writes one line at a distance from the left margin and below the pen; the pen stays.</summary>
    public void Write(string text, PdfPen pen, double x, double dy = 0, double? width = null, bool onTheRight = false) => _graphics.DrawString(
        text, pen.Font, new XSolidBrush(OnPaper(pen.Colour)),
        new XRect(Margin + x, Y + dy, width ?? LineWidth - x, pen.LineHeight), onTheRight ? XStringFormats.TopRight : XStringFormats.TopLeft);

    /// <summary>Writes one line at a distance from the left margin, on the next page where it does not fit, and moves below it.</summary>
    public void Line(string text, PdfPen pen, double x = 0)
    {
        Need(pen.LineHeight);
        Write(text, pen, x);
        Skip(pen.LineHeight);
    }

    /// <summary>Fills a rectangle; the pen stays.</summary>
    public void Fill(string colour, double x, double dy, double width, double height) =>
        _graphics.DrawRectangle(new XSolidBrush(OnPaper(colour)), Margin + x, Y + dy, width, height);

    /// <summary>Draws a rectangle with rounded corners; the pen stays.</summary>
    public void Box(string line, string fill, double x, double dy, double width, double height) =>
        _graphics.DrawRoundedRectangle(new XPen(OnPaper(line), 0.7), new XSolidBrush(OnPaper(fill)), Margin + x, Y + dy, width, height, 6, 6);

    /// <summary>Draws a line from margin to margin; the pen stays.</summary>
    public void Rule(string colour, double dy = 0, double thickness = 0.5) =>
        _graphics.DrawLine(new XPen(OnPaper(colour), thickness), Margin, Y + dy, Margin + LineWidth, Y + dy);

    /// <summary>Draws a soft curve between two points, left to right; the pen stays.</summary>
    public void Curve(string colour, double x1, double dy1, double x2, double dy2)
    {
        var middle = Margin + (x1 + x2) / 2;
        _graphics.DrawBezier(
            new XPen(OnPaper(colour), 0.8), new(Margin + x1, Y + dy1), new(middle, Y + dy1), new(middle, Y + dy2), new(Margin + x2, Y + dy2));
    }

    /// <summary>Places a picture from margin to margin and moves below it; the height goes with the width.</summary>
    public void Picture(byte[] png, double height)
    {
        using var image = XImage.FromStream(new MemoryStream(png));
        _graphics.DrawImage(image, Margin, Y, LineWidth, height);
        Skip(height);
    }

    /// <summary>Lines that fit a width.</summary>
    public IReadOnlyList<string> Wrap(string text, PdfPen pen, double width) => LineBreaks.Wrap(text, width, part => Measure(part, pen));

    /// <summary>Width of a text.</summary>
    public double Measure(string text, PdfPen pen) => _graphics.MeasureString(text, pen.Font).Width;

    /// <summary>Writes the footers, with the number of pages now known, and closes the document.</summary>
    public byte[] Finish(string left, string middle)
    {
        _graphics.Dispose();
        for (var page = 0; page < _document.PageCount; page++) Footer(page, left, middle);
        using var bytes = new MemoryStream();
        _document.Save(bytes);
        return bytes.ToArray();
    }

    public void Dispose()
    {
        _graphics.Dispose();
        _document.Dispose();
    }

    private void TurnPage()
    {
        _graphics?.Dispose();
        var page = _document.AddPage();
        page.Width = XUnit.FromPoint(PageWidth);
        page.Height = XUnit.FromPoint(PageHeight);
        _graphics = XGraphics.FromPdfPage(page);
        _graphics.TranslateTransform(Margin * (1 - _scale), 0);
        _graphics.ScaleTransform(_scale);
        Y = Margin;
    }

    private void Footer(int page, string left, string middle)
    {
        using var graphics = XGraphics.FromPdfPage(_document.Pages[page], XGraphicsPdfPageOptions.Append);
        var area = new XRect(Margin, PageHeight - Margin - 4, Width, PdfPen.Small.LineHeight);
        var brush = new XSolidBrush(OnPaper(Quiet));
        graphics.DrawLine(new XPen(OnPaper(PaperColours.Rule), 0.5), area.Left, area.Top - 5, area.Right, area.Top - 5);
        graphics.DrawString(left, PdfPen.Small.Font, brush, area, XStringFormats.TopLeft);
        graphics.DrawString(middle, PdfPen.Small.Font, brush, area, XStringFormats.TopCenter);
        graphics.DrawString($"Page {page + 1} of {_document.PageCount}", PdfPen.Small.Font, brush, area, XStringFormats.TopRight);
    }
}

/// <summary>A size, weight and colour of text; sizes in points.</summary>
public sealed record PdfPen(double SizePt, bool Bold, string Colour)
{
    public static readonly PdfPen Kicker = new(7.5, true, Accent);
    public static readonly PdfPen Title = new(20, true, Ink);
    public static readonly PdfPen Lead = new(10.5, false, Ink);
    public static readonly PdfPen Heading = new(11, true, Accent);
    public static readonly PdfPen Body = new(8.5, false, Ink);
    public static readonly PdfPen Label = new(8.5, false, Quiet);
    public static readonly PdfPen Cell = new(7.5, false, Ink);
    public static readonly PdfPen CellTitle = new(7, true, Quiet);
    public static readonly PdfPen NodeTitle = new(7, true, Ink);
    public static readonly PdfPen NodeDetail = new(6.2, false, Quiet);
    public static readonly PdfPen Small = new(7, false, Quiet);

    private XFont? _font;

    public XFont Font => _font ??= new XFont(
        PaperFonts.Family, SizePt, Bold ? XFontStyleEx.Bold : XFontStyleEx.Regular, XPdfFontOptions.UnicodeDefault);

    /// <summary>From line to line: 1.35 of the size, the usual leading of small print; common practice, no source.</summary>
    public double LineHeight => SizePt * 1.35;
}
