namespace Pourwright.Studio.StudentLinks;

/// <summary>Settings of a node for students, of the section `Students`. Every default is common practice, no source.</summary>
public sealed record StudentOptions
{
    /// <summary>Days for which a link goes on after the last session: a piece is collected, and its care asked for again.</summary>
    public int LinkDaysAfterLastSession { get; init; } = 56;

    /// <summary>Days after the last session from which on a student is proposed to be erased.</summary>
    public int ProposeErasureDaysAfterLastSession { get; init; } = 730;

    /// <summary>Whether the node erases by itself who is proposed; else a person does.</summary>
    public bool EraseByItself { get; init; }
}
