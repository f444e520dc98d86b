using System.Text;

namespace Pourwright.Studio.Paper;

/// <summary>Sets a report for a terminal of 100 columns. No line is longer.</summary>
public static class ReportText
{
    /// <summary>Columns of the terminal.</summary>
    public const int Columns = 100;

    private const int Gutter = 2;

    public static string Print(Report report)
    {
        var text = new StringBuilder();
        text.AppendLine(Ends(report.Kicker.ToUpperInvariant(), report.Made));
        text.AppendLine().AppendLine(report.Title).AppendLine(new string('=', report.Title.Length));
        Append(text, [.. Wrap(report.Headline, Columns), ""]);
        ReportBlock? above = null;
        foreach (var block in report.Blocks)
        {
            string[] lines = [.. Lines(block)];
            if (lines.Length == 0) continue;
            if (above is not (null or HeadingBlock)) text.AppendLine();
            Append(text, lines);
            above = block;
        }
        return text.ToString().ReplaceLineEndings("\n");
    }

    private static IEnumerable<string> Lines(ReportBlock block) => block switch
    {
        HeadingBlock heading => [heading.Text.ToUpperInvariant(), new string('-', heading.Text.Length)],
        WordsBlock words => Wrap(words.Text, Columns),
        FactsBlock facts => Facts(facts),
        SentencesBlock sentences => sentences.Sentences.SelectMany(sentence => Hang("- ", Wrap(sentence, Columns - 2))),
        GridBlock grid => Grid(grid),
        DrawnBlock drawn => drawn.Lines(Columns),
        _ => [],
    };

    private static IEnumerable<string> Facts(FactsBlock block)
    {
        var width = block.Facts.Max(fact => fact.Name.Length) + Gutter;
        return block.Facts.SelectMany(fact => Hang(fact.Name.PadRight(width), Wrap(fact.Value, Columns - width)));
    }

    private static IEnumerable<string> Grid(GridBlock grid)
    {
        string[] titles = [.. grid.Columns.Select(column => column.Title)];
        var fitted = GridWidths.Fit([titles, .. grid.Rows], Columns - Gutter * (titles.Length - 1), part => part.Length);
        int[] widths = [.. fitted.Select(width => (int)width)];
        return [.. Row(grid, widths, titles), string.Join("  ", widths.Select(width => new string('-', width))),
            .. grid.Rows.SelectMany(row => Row(grid, widths, row))];
    }

    private static IEnumerable<string> Row(GridBlock grid, int[] widths, IReadOnlyList<string> cells)
    {
        IReadOnlyList<string>[] wrapped = [.. cells.Select((cell, column) => Wrap(cell, widths[column]))];
        for (var line = 0; line < wrapped.Max(cell => cell.Count); line++)
            yield return string.Join("  ", wrapped.Select((cell, column) =>
                Padded(line < cell.Count ? cell[line] : "", widths[column], grid.Columns[column].OnTheRight))).TrimEnd();
    }

    private static string Padded(string text, int width, bool onTheRight) => onTheRight ? text.PadLeft(width) : text.PadRight(width);

    private static IEnumerable<string> Hang(string mark, IEnumerable<string> lines) =>
        lines.Select((line, index) => (index == 0 ? mark : new string(' ', mark.Length)) + line);

    private static string Ends(string left, string right) => left + right.PadLeft(Columns - left.Length);

    private static void Append(StringBuilder text, IEnumerable<string> lines)
    {
        foreach (var line in lines) text.AppendLine(line);
    }

    /// <summary>Lines of at most so many columns, broken between words.</summary>
    public static IReadOnlyList<string> Wrap(string text, int width) => LineBreaks.Wrap(text, width, part => part.Length);
}
