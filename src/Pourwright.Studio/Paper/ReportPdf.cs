using static Pourwright.Studio.Paper.PaperColours;

namespace Pourwright.Studio.Paper;

/// <summary>Sets a report on A4.</summary>
public static class ReportPdf
{
    private const double CellGap = 9;

    /// <summary>How small the print of a single page may become: the smallest letters of a family tree have 5.1 points then.</summary>
    private static readonly double[] Scales = [1, 0.95, 0.9, 0.86, 0.82];

    public static byte[] Print(Report report) => Print(report, 1).Pdf;

    /// <summary>Sets a report on one page: in smaller print where it must be, and in shorter versions where that is not enough.</summary>
    /// <param name="versions">The longest first; the last one is printed on as many pages as it takes.</param>
    public static byte[] PrintOnePage(IEnumerable<Report> versions)
    {
        byte[] pdf = [];
        foreach (var version in versions)
            foreach (var scale in Scales)
            {
                (pdf, var pages) = Print(version, scale);
                if (pages == 1) return pdf;
            }
        return pdf;
    }

    private static (byte[] Pdf, int Pages) Print(Report report, double scale)
    {
        using var sheet = new PdfSheet(report.Title, report.Kicker, report.MadeTime, scale);
        Head(sheet, report);
        for (var index = 0; index < report.Blocks.Count; index++) Set(sheet, report.Blocks[index], report.Blocks.ElementAtOrDefault(index + 1));
        var pages = sheet.Pages;
        return (sheet.Finish(report.Title, report.Made), pages);
    }

    private static void Head(PdfSheet sheet, Report report)
    {
        sheet.Write(report.Kicker.ToUpperInvariant(), PdfPen.Kicker, 0);
        sheet.Write(report.Made, PdfPen.Small, 0, onTheRight: true);
        sheet.Skip(14);
        foreach (var line in sheet.Wrap(report.Title, PdfPen.Title, sheet.LineWidth)) sheet.Line(line, PdfPen.Title);
        sheet.Skip(8);
        var lead = sheet.Wrap(report.Headline, PdfPen.Lead, sheet.LineWidth - 26);
        var height = lead.Count * PdfPen.Lead.LineHeight + 16;
        sheet.Fill(report.Alarm ? AlarmTint : AccentTint, 0, 0, sheet.LineWidth, height);
        sheet.Fill(report.Alarm ? Alarm : Accent, 0, 0, 3, height);
        sheet.Skip(8);
        foreach (var line in lead) sheet.Line(line, PdfPen.Lead, 14);
        sheet.Skip(14);
    }

    private static void Set(PdfSheet sheet, ReportBlock block, ReportBlock? next)
    {
        switch (block)
        {
            case HeadingBlock heading: Heading(sheet, heading, next); break;
            case WordsBlock words: Words(sheet, words.Text); break;
            case FactsBlock facts: Facts(sheet, facts); break;
            case SentencesBlock sentences: Sentences(sheet, sentences); break;
            case GridBlock grid: Grid(sheet, grid); break;
            case DrawnBlock drawn: drawn.Draw(sheet); break;
        }
    }

    // A heading alone at the foot of a page helps nobody: it goes where its block begins.
    private static void Heading(PdfSheet sheet, HeadingBlock heading, ReportBlock? next)
    {
        var gap = sheet.IsSmall ? 5 : 12;
        if (!sheet.Need(gap + HeadingHeight + FirstHeight(sheet, next))) sheet.Skip(gap);
        sheet.Write(heading.Text, PdfPen.Heading, 0);
        sheet.Skip(PdfPen.Heading.LineHeight + 2);
        sheet.Rule(Accent, thickness: 0.8);
        sheet.Skip(6);
    }

    private static double HeadingHeight => PdfPen.Heading.LineHeight + 8;

    /// <summary>Height of the part of a block that must stand on one page with its heading.</summary>
    private static double FirstHeight(PdfSheet sheet, ReportBlock? block) => block switch
    {
        GridBlock grid => TitlesHeight(sheet, grid, Widths(sheet, grid)) + RowHeight(sheet, grid, Widths(sheet, grid), 0),
        DrawnBlock drawn => drawn.FirstHeight(sheet),
        _ => 3 * PdfPen.Body.LineHeight,
    };

    /// <summary>A page less its heading, in points.</summary>
    public static double TallestUnderHeading => PdfSheet.Height - HeadingHeight - 12;

    private static void Words(PdfSheet sheet, string text)
    {
        foreach (var line in sheet.Wrap(text, PdfPen.Body, sheet.LineWidth)) sheet.Line(line, PdfPen.Body);
        sheet.Skip(4);
    }

    private static void Facts(PdfSheet sheet, FactsBlock block)
    {
        const double labelWidth = 88;
        var columnWidth = (sheet.LineWidth - 20) / 2;
        foreach (var pair in block.Facts.Chunk(2))
        {
            var wrapped = pair.Select(fact => sheet.Wrap(fact.Value, PdfPen.Body, columnWidth - labelWidth)).ToList();
            var height = wrapped.Max(lines => lines.Count) * PdfPen.Body.LineHeight + 3;
            sheet.Need(height);
            for (var side = 0; side < pair.Length; side++)
            {
                var left = side * (columnWidth + 20);
                sheet.Write(pair[side].Name, PdfPen.Label, left);
                for (var line = 0; line < wrapped[side].Count; line++)
                    sheet.Write(wrapped[side][line], PdfPen.Body, left + labelWidth, line * PdfPen.Body.LineHeight);
            }
            sheet.Skip(height);
        }
    }

    private static void Sentences(PdfSheet sheet, SentencesBlock block)
    {
        foreach (var sentence in block.Sentences)
        {
            var lines = sheet.Wrap(sentence, PdfPen.Body, sheet.LineWidth - 12);
            sheet.Need(lines.Count * PdfPen.Body.LineHeight);
            sheet.Write("–", PdfPen.Label, 0);
            foreach (var line in lines) sheet.Line(line, PdfPen.Body, 12);
            sheet.Skip(1.5);
        }
        sheet.Skip(3);
    }

    private static void Grid(PdfSheet sheet, GridBlock grid)
    {
        var widths = Widths(sheet, grid);
        if (grid.Rows.Count > 0) sheet.Need(TitlesHeight(sheet, grid, widths) + RowHeight(sheet, grid, widths, 0));
        GridTitles(sheet, grid, widths);
        for (var row = 0; row < grid.Rows.Count; row++) GridRow(sheet, grid, widths, row);
        sheet.Rule(PaperColours.Rule);
        sheet.Skip(8);
    }

    private static double[] Widths(PdfSheet sheet, GridBlock grid)
    {
        var available = sheet.LineWidth - CellGap * grid.Columns.Count;
        // Titles are bold and would not fit in the width of plain text: all is measured with both pens.
        var widths = GridWidths.Fit([Titles(grid), .. grid.Rows], available,
            text => Math.Max(sheet.Measure(text, PdfPen.Cell), sheet.Measure(text, PdfPen.CellTitle)) + 0.5);
        var spare = (available - widths.Sum()) / widths.Length;
        return [.. widths.Select(width => width + spare)];
    }

    private static string[] Titles(GridBlock grid) => [.. grid.Columns.Select(column => column.Title)];

    private static double TitlesHeight(PdfSheet sheet, GridBlock grid, double[] widths) => CellsHeight(sheet, widths, Titles(grid), PdfPen.CellTitle);

    private static double RowHeight(PdfSheet sheet, GridBlock grid, double[] widths, int row) =>
        CellsHeight(sheet, widths, grid.Rows[row], PdfPen.Cell);

    private static double CellsHeight(PdfSheet sheet, double[] widths, IReadOnlyList<string> cells, PdfPen pen) =>
        cells.Select((cell, column) => sheet.Wrap(cell, pen, widths[column]).Count).Max() * pen.LineHeight + 5;

    private static void GridTitles(PdfSheet sheet, GridBlock grid, double[] widths)
    {
        Cells(sheet, grid, widths, Titles(grid), PdfPen.CellTitle);
        sheet.Skip(TitlesHeight(sheet, grid, widths));
        sheet.Rule(Quiet, thickness: 0.6);
    }

    private static void GridRow(PdfSheet sheet, GridBlock grid, double[] widths, int row)
    {
        var height = RowHeight(sheet, grid, widths, row);
        if (sheet.Need(height)) GridTitles(sheet, grid, widths);
        if (row % 2 == 1) sheet.Fill(Stripe, 0, 0.3, sheet.LineWidth, height - 0.3);
        Cells(sheet, grid, widths, grid.Rows[row], PdfPen.Cell);
        sheet.Skip(height);
    }

    private static void Cells(PdfSheet sheet, GridBlock grid, double[] widths, IReadOnlyList<string> cells, PdfPen pen)
    {
        var x = CellGap / 2;
        for (var column = 0; column < cells.Count; column++)
        {
            var lines = sheet.Wrap(cells[column], pen, widths[column]);
            for (var line = 0; line < lines.Count; line++)
                sheet.Write(lines[line], pen, x, 2.5 + line * pen.LineHeight, widths[column], grid.Columns[column].OnTheRight);
            x += widths[column] + CellGap;
        }
    }
}
