using Spectre.Console;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Kernel;

/// <summary>How a word is meant. Colour only repeats what the word says.</summary>
public enum Tone
{
    /// <summary>As any other.</summary>
    Plain,

    /// <summary>A heading.</summary>
    Strong,

    /// <summary>Goes.</summary>
    Good,

    /// <summary>Wait, or look first.</summary>
    Wait,

    /// <summary>Does not go.</summary>
    Bad,

    /// <summary>By the way.</summary>
    Faint,
}

/// <summary>Words with their tone.</summary>
public readonly record struct Cell(string Text, Tone Tone = Tone.Plain)
{
    public static implicit operator Cell(string? text) => new(text ?? "");

    /// <summary>What came from elsewhere may hold control characters that a terminal would obey: they go.</summary>
    public Text Render() => new(string.Concat((Text ?? "").Where(c => c == '\n' || !char.IsControl(c))), Tone switch
    {
        Tone.Strong => new(decoration: Decoration.Bold),
        Tone.Good => new(Color.Green, decoration: Decoration.Bold),
        Tone.Wait => new(Color.Yellow),
        Tone.Bad => new(Color.Red, decoration: Decoration.Bold),
        Tone.Faint => new(decoration: Decoration.Dim),
        _ => Style.Plain,
    });
}

/// <summary>Tables and cards.</summary>
public static class Sheets
{
    /// <summary>A row a thing; says so where there is none.</summary>
    public static IRenderable Rows(string nothing, string[] columns, IEnumerable<Cell[]> rows)
    {
        var table = new Table();
        foreach (var column in columns)
            table.AddColumn(new TableColumn(new Cell(column, Tone.Strong).Render()));
        foreach (var row in rows)
            table.AddRow(row.Select(cell => cell.Render()));
        return table.Rows.Count == 0 ? new Cell(nothing).Render() : new Ruled(table);
    }

    /// <summary>One thing: a heading, then a fact a line; facts that are not known are left out.</summary>
    public static IRenderable Card(Cell heading, params IEnumerable<(string Name, Cell Value)> facts)
    {
        var grid = new Grid().AddColumn(new GridColumn().NoWrap().PadRight(2)).AddColumn();
        foreach (var (name, value) in facts.Where(fact => !string.IsNullOrEmpty(fact.Value.Text)))
            grid.AddRow(new Cell(name, Tone.Faint).Render(), value.Render());
        return Stack(string.IsNullOrEmpty(heading.Text) ? null : (heading with { Tone = Tone.Strong }).Render(), grid);
    }

    /// <summary>One below the other.</summary>
    public static IRenderable Stack(params IEnumerable<IRenderable?> parts) => new Rows(parts.OfType<IRenderable>());

    /// <summary>Words to be read from across the room, where the terminal can; the same words plainly elsewhere.</summary>
    public static IRenderable Large(Cell words) => new LargeWords(words);

    /// <summary>A line below the headings where a person looks on; columns alone for a program.</summary>
    private sealed class Ruled(Table table) : Renderable
    {
        protected override IEnumerable<Segment> Render(RenderOptions options, int maxWidth) =>
            ((IRenderable)table.Border(options.Ansi ? TableBorder.Simple : TableBorder.None)).Render(options, maxWidth);
    }

    private sealed class LargeWords(Cell words) : Renderable
    {
        protected override IEnumerable<Segment> Render(RenderOptions options, int maxWidth) =>
            options.Ansi
                ? ((IRenderable)new FigletText(words.Text) { Color = ColourOf(words.Tone) }).Render(options, maxWidth)
                : ((IRenderable)words.Render()).Render(options, maxWidth);

        private static Color ColourOf(Tone tone) => tone switch
        {
            Tone.Good => Color.Green,
            Tone.Bad => Color.Red,
            _ => Color.Default,
        };
    }
}
