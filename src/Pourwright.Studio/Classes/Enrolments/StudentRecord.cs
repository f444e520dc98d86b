using Pourwright.V1;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>A row of `students`.</summary>
public sealed record StudentRecord
{
    public required string Name { get; init; }
    public required string Studio { get; init; }
    public required string DisplayName { get; init; }
    public required string ContactEmail { get; init; }
    public required bool ConsentToMessages { get; init; }
    public required string Etag { get; init; }

    /// <summary>Agreed to messages, and there is somewhere to send them.</summary>
    public bool IsReachable => ConsentToMessages && ContactEmail.Length > 0;

    public Student ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        ContactEmail = ContactEmail,
        ConsentToMessages = ConsentToMessages,
        Etag = Etag,
    };
}
