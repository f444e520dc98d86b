using System.Text;

namespace Pourwright.Studio.Trace;

/// <summary>Sets a report for a terminal of 100 columns. No line is longer.</summary>
public static class TraceText
{
    /// <summary>Columns of the terminal.</summary>
    public const int Columns = 100;

    private const int Gutter = 2;

    public static string Print(TraceReport report)
    {
        var text = new StringBuilder();
        text.AppendLine(Ends(report.Kicker.ToUpperInvariant(), report.Made));
        text.AppendLine().AppendLine(report.Title).AppendLine(new string('=', report.Title.Length));
        Append(text, [.. Wrap(report.Headline, Columns), ""]);
        TraceBlock? above = null;
        foreach (var block in report.Blocks.Where(block => block is not CourseBlock))
        {
            if (above is not (null or HeadingBlock)) text.AppendLine();
            Append(text, Lines(block));
            above = block;
        }
        return text.ToString().ReplaceLineEndings("\n");
    }

    private static IEnumerable<string> Lines(TraceBlock block) => block switch
    {
        HeadingBlock heading => [heading.Text.ToUpperInvariant(), new string('-', heading.Text.Length)],
        WordsBlock words => Wrap(words.Text, Columns),
        FactsBlock facts => Facts(facts),
        SentencesBlock sentences => sentences.Sentences.SelectMany(sentence => Hang("- ", Wrap(sentence, Columns - 2))),
        GridBlock grid => Grid(grid),
        AncestryBlock ancestry => Ancestry(ancestry.Piece),
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

    internal static IEnumerable<string> Ancestry(Ancestor piece) => Ancestry(piece, "", "");

    private static IEnumerable<string> Ancestry(Ancestor ancestor, string branch, string trunk)
    {
        var line = ancestor.Detail.Length == 0 ? ancestor.Title : $"{ancestor.Title}  {ancestor.Detail}";
        var below = trunk + (ancestor.MadeFrom.Count > 0 ? "│  " : "   ");
        var wrapped = Wrap(line, Columns - below.Length);
        yield return branch + wrapped[0];
        foreach (var rest in wrapped.Skip(1)) yield return below + rest;
        for (var child = 0; child < ancestor.MadeFrom.Count; child++)
        {
            var last = child == ancestor.MadeFrom.Count - 1;
            foreach (var childLine in Ancestry(ancestor.MadeFrom[child], trunk + (last ? "└─ " : "├─ "), trunk + (last ? "   " : "│  ")))
                yield return childLine;
        }
    }

    private static IEnumerable<string> Hang(string mark, IEnumerable<string> lines) =>
        lines.Select((line, index) => (index == 0 ? mark : new string(' ', mark.Length)) + line);

    private static string Ends(string left, string right) => left + right.PadLeft(Columns - left.Length);

    private static void Append(StringBuilder text, IEnumerable<string> lines)
    {
        foreach (var line in lines) text.AppendLine(line);
    }

    private static IReadOnlyList<string> Wrap(string text, int width) => LineBreaks.Wrap(text, width, part => part.Length);
}
