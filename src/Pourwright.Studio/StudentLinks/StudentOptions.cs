namespace Pourwright.Studio.StudentLinks;

/// <summary>Settings of a node for students, of the section `Students`. Every default is common practice, no source.</summary>
public sealed record StudentOptions
{
    /// <summary>Days for which a link goes on after the last session: a piece is collected, and its care asked for again.</summary>
    public int LinkDaysAfterLastSession { get; init; } = 56;
}
