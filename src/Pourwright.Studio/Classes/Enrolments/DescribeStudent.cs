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
            .Require(student.ContactEmail.Length == 0 || IsAddress(student.ContactEmail),
                "student.contact_email", "must be an e-mail address, or empty.", student.ContactEmail)
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

    private static bool IsAddress(string text) =>
        text.Length <= 254 && !text.Any(char.IsControl) && MimeKit.MailboxAddress.TryParse(text, out var address) && address.Address.Contains('@', StringComparison.Ordinal);
}
