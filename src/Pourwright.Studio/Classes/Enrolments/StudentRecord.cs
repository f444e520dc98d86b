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

    /// <summary>What they were called before, a line each, oldest first: labels bear the name of their day.</summary>
    public string FormerNames { get; init; } = "";

    /// <summary>All that a label may call them by name.</summary>
    public IEnumerable<string> Names => [DisplayName, .. Lines(FormerNames)];

    /// <summary>Agreed to messages, and there is somewhere to send them.</summary>
    public bool IsReachable => ConsentToMessages && ContactEmail.Length > 0;

    /// <summary>This student, who was called otherwise.</summary>
    public StudentRecord After(StudentRecord before) => this with
    {
        FormerNames = string.Join('\n', Lines(before.FormerNames).Append(before.DisplayName).Where(name => name != DisplayName).Distinct()),
    };

    /// <summary>The names of a column of them.</summary>
    public static string[] Lines(string names) => names.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    public Student ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        ContactEmail = ContactEmail,
        ConsentToMessages = ConsentToMessages,
        Etag = Etag,
    };
}
