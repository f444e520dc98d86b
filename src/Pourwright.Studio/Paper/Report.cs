namespace Pourwright.Studio.Paper;

/// <summary>What a sheet says, in order, before it is set for a terminal or on paper.</summary>
public sealed record Report
{
    /// <summary>The studio, and what kind of sheet it is.</summary>
    public required string Kicker { get; init; }

    public required string Title { get; init; }

    /// <summary>The answer in two or three sentences.</summary>
    public required string Headline { get; init; }

    /// <summary>Something is wrong: the headline is marked.</summary>
    public required bool Alarm { get; init; }

    /// <summary>"Traced 8 Mar 2026 09:30 +01:00".</summary>
    public required string Made { get; init; }

    public required DateTimeOffset MadeTime { get; init; }

    public required IReadOnlyList<ReportBlock> Blocks { get; init; }
}

/// <summary>A part of a report.</summary>
public abstract record ReportBlock;

/// <summary>Opens a section.</summary>
public sealed record HeadingBlock(string Text) : ReportBlock;

/// <summary>A paragraph.</summary>
public sealed record WordsBlock(string Text) : ReportBlock;

/// <summary>Names with their values.</summary>
public sealed record FactsBlock(IReadOnlyList<(string Name, string Value)> Facts) : ReportBlock;

/// <summary>Sentences of one rank.</summary>
public sealed record SentencesBlock(IReadOnlyList<string> Sentences) : ReportBlock;

/// <summary>A table: every row has a cell a column.</summary>
public sealed record GridBlock(IReadOnlyList<GridColumn> Columns, IReadOnlyList<IReadOnlyList<string>> Rows) : ReportBlock;

/// <summary>A column of a table; numbers stand on the right.</summary>
public sealed record GridColumn(string Title, bool OnTheRight = false);

/// <summary>What draws itself on paper and writes itself for a terminal.</summary>
public abstract record DrawnBlock : ReportBlock
{
    /// <summary>Height in points of the part that must stand on one page with its heading.</summary>
    public abstract double FirstHeight(PdfSheet sheet);

    /// <summary>Draws it from the pen on and moves the pen below it.</summary>
    public abstract void Draw(PdfSheet sheet);

    /// <summary>Lines of at most so many columns; none where it is for paper only.</summary>
    public abstract IEnumerable<string> Lines(int columns);
}
