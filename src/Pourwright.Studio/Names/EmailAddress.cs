using MimeKit;

namespace Pourwright.Studio.Names;

/// <summary>An e-mail address as people write it, with a name or without.</summary>
internal static class EmailAddress
{
    /// <summary>Characters: a path of 256 octets without its brackets (RFC 5321 4.5.3.1.3).</summary>
    private const int LengthMax = 254;

    public static bool IsOne(string text) => FindUri(text) is not null;

    /// <summary>The address alone as a URI (RFC 6068), its host in ASCII; null where the text is no address, or one of no host.</summary>
    public static Uri? FindUri(string text) =>
        text.Length <= LengthMax && !text.Any(char.IsControl) && MailboxAddress.TryParse(text, out var mailbox)
        && mailbox.Address.Contains('@', StringComparison.Ordinal)
        && Uri.TryCreate($"mailto:{Escaped(mailbox.GetAddress(idnEncode: true))}", UriKind.Absolute, out var uri)
            ? uri
            : null;

    private static string Escaped(string address) => Uri.EscapeDataString(address)
        .Replace("%40", "@", StringComparison.Ordinal).Replace("%2B", "+", StringComparison.Ordinal);
}
