using Pourwright.Studio.Paper;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Needs;

/// <summary>Pens of sheets that hang on a wall: what is acted upon is read at arm's length.</summary>
internal static class SheetPens
{
    public static readonly PdfPen Number = new(26, true, Ink);
    public static readonly PdfPen Mass = new(24, true, Ink);
    public static readonly PdfPen Time = new(21, true, Ink);
    public static readonly PdfPen Name = new(15, true, Ink);
    public static readonly PdfPen Line = new(11, false, Ink);
    public static readonly PdfPen Strong = new(11, true, Ink);
    public static readonly PdfPen Hint = new(9, false, Quiet);
    public static readonly PdfPen Field = new(7.5, false, Quiet);
    public static readonly PdfPen Band = new(13, true, White);
    public static readonly PdfPen BandLine = new(11, false, White);
    public static readonly PdfPen Warning = new(10.5, true, Alarm);

    /// <summary>A box to write in, its name inside above.</summary>
    public static void Blank(PdfSheet sheet, string name, double x, double dy, double width, double height)
    {
        sheet.Box(Quiet, White, x, dy, width, height);
        sheet.Write(name, Field, x + 5, dy + 2);
    }
}
