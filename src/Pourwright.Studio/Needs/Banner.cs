using Pourwright.Studio.Paper;
using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Needs;

/// <summary>What must be read before anything else, across the sheet.</summary>
public sealed record Banner(string Text) : DrawnBlock
{
    private static readonly PdfPen Pen = new(12.5, true, White);

    public override double FirstHeight(PdfSheet sheet) => 60;

    public override void Draw(PdfSheet sheet)
    {
        var lines = sheet.Wrap(Text, Pen, PdfSheet.Width - 24);
        var height = lines.Count * Pen.LineHeight + 14;
        sheet.Need(height);
        sheet.Fill(Ink, 0, 0, PdfSheet.Width, height);
        for (var i = 0; i < lines.Count; i++) sheet.Write(lines[i], Pen, 12, 7 + i * Pen.LineHeight);
        sheet.Skip(height + 10);
    }

    public override IEnumerable<string> Lines(int columns) => ReportText.Wrap(Text.ToUpperInvariant(), columns);
}
