namespace Pourwright.Studio.Paper;

/// <summary>Shares the width of a line among the columns of a table, in characters or points.</summary>
public static class GridWidths
{
    /// <summary>Each column gets what its longest cell wants as long as all fit; else the widest give way down to one common width.</summary>
    /// <remarks>
    /// A column keeps its longest word whole, hyphens aside, where that is possible at all. The widths never add up to more than
    /// is available.
    /// </remarks>
    /// <param name="rows">The cells, titles included; every row has a cell a column.</param>
    /// <param name="available">What the columns share.</param>
    /// <param name="measure">Width of a text.</param>
    public static double[] Fit(IReadOnlyList<IReadOnlyList<string>> rows, double available, Func<string, double> measure)
    {
        double[] wishes = [.. Columns(rows).Select(cells => cells.Max(measure))];
        if (wishes.Sum() <= available) return wishes;
        double[] words = [.. Columns(rows).Select(cells => cells.Max(cell => LineBreaks.Widest(cell, measure)))];
        return words.Sum() > available ? Shrink(words, new double[words.Length], available) : Shrink(wishes, words, available);
    }

    private static IEnumerable<IEnumerable<string>> Columns(IReadOnlyList<IReadOnlyList<string>> rows) =>
        rows[0].Select((_, column) => rows.Select(row => row[column]));

    private static double[] Shrink(double[] wishes, double[] least, double available)
    {
        var (low, high) = (0.0, wishes.Max());
        for (var halving = 0; halving < 50; halving++)
        {
            var cap = (low + high) / 2;
            (low, high) = Capped(wishes, least, cap).Sum() > available ? (low, cap) : (cap, high);
        }
        return Capped(wishes, least, low);
    }

    private static double[] Capped(double[] wishes, double[] least, double cap) =>
        [.. wishes.Select((wish, column) => Math.Max(Math.Min(wish, cap), least[column]))];
}
