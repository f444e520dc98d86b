namespace Pourwright.Studio.Trace;

/// <summary>What a trace says, in order, before it is set for a terminal or a sheet of paper.</summary>
public sealed record TraceReport
{
    /// <summary>The studio, and what kind of trace it is.</summary>
    public required string Kicker { get; init; }

    public required string Title { get; init; }

    /// <summary>The answer in two or three sentences.</summary>
    public required string Headline { get; init; }

    /// <summary>Something is wrong: the headline is marked.</summary>
    public required bool Alarm { get; init; }

    /// <summary>"Traced 8 Mar 2026 09:30 +01:00".</summary>
    public required string Made { get; init; }

    public required DateTimeOffset TraceTime { get; init; }

    public required IReadOnlyList<TraceBlock> Blocks { get; init; }
}

/// <summary>A part of a report.</summary>
public abstract record TraceBlock;

/// <summary>Opens a section.</summary>
public sealed record HeadingBlock(string Text) : TraceBlock;

/// <summary>A paragraph.</summary>
public sealed record WordsBlock(string Text) : TraceBlock;

/// <summary>Names with their values.</summary>
public sealed record FactsBlock(IReadOnlyList<(string Name, string Value)> Facts) : TraceBlock;

/// <summary>Sentences of one rank.</summary>
public sealed record SentencesBlock(IReadOnlyList<string> Sentences) : TraceBlock;

/// <summary>A table: every row has a cell a column.</summary>
public sealed record GridBlock(IReadOnlyList<GridColumn> Columns, IReadOnlyList<IReadOnlyList<string>> Rows) : TraceBlock;

/// <summary>A column of a table; numbers stand on the right.</summary>
public sealed record GridColumn(string Title, bool OnTheRight = false);

/// <summary>What a piece is made of, as a family tree.</summary>
public sealed record AncestryBlock(Ancestor Piece) : TraceBlock;

/// <summary>The course of the room and the cure; on paper only.</summary>
public sealed record CourseBlock(CureCourse Course) : TraceBlock;

/// <summary>One of the family: a piece, its pours, their mixes, the containers, the lots. The same name is the same thing.</summary>
public sealed record Ancestor(string Name, string Title, string Detail, IReadOnlyList<Ancestor> MadeFrom, bool Alarm = false);
