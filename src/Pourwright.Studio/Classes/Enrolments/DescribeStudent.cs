using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>What is kept of a student: a name, a way to write, and whether that was agreed to.</summary>
public static class DescribeStudent
{
    public static readonly IReadOnlyList<string> Changeable = ["display_name", "contact_email", "consent_to_messages"];

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static StudentRecord Decide(string name, Student student, string etag)
    {
        new FieldChecks()
            .Text("student.display_name", student.DisplayName, 80)
            .Email("student.contact_email", student.ContactEmail)
            .ThrowIfAny();
        return new()
        {
            Name = name,
            Studio = ResourceNames.StudioOf(name),
            DisplayName = student.DisplayName,
            ContactEmail = student.ContactEmail,
            ConsentToMessages = student.HasConsentToMessages && student.ConsentToMessages,
            Etag = etag,
        };
    }
}
