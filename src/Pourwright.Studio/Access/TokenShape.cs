using System.Text.Json;

namespace Pourwright.Studio.Access;

/// <summary>What of a token may be looked at by more than its shape: three parts, whose first two are JSON that can be read in one way only.</summary>
/// <remarks>
/// RFC 8725 (Best Current Practices for JSON Web Tokens): a header may not say where its key is to be had (3.10) or be one that the reader does not
/// understand (RFC 7515, 4.1.11). So a list of what it may say is held against it, not a list of tricks.
/// </remarks>
internal static class TokenShape
{
    /// <summary>In characters. Common practice, no source: access tokens take one or two thousand.</summary>
    public const int LengthMax = 8_000;

    private static readonly string[] HeaderMembers = ["alg", "typ", "kid", "x5t", "x5t#S256"];

    private static readonly JsonDocumentOptions OneMeaning = new() { AllowDuplicateProperties = false, MaxDepth = 4 };

    public static bool IsPlain(string token)
    {
        var parts = token.Split('.');
        return token.Length <= LengthMax && parts.Length == 3 && parts.All(part => part.Length > 0)
            && Object(parts[0]) is { } header && header.EnumerateObject().All(member => HeaderMembers.Contains(member.Name) && member.Value.ValueKind == JsonValueKind.String)
            && Object(parts[1]) is not null;
    }

    private static JsonElement? Object(string part)
    {
        try
        {
            using var json = JsonDocument.Parse(System.Buffers.Text.Base64Url.DecodeFromChars(part), OneMeaning);
            return json.RootElement.ValueKind == JsonValueKind.Object ? json.RootElement.Clone() : null;
        }
        catch (Exception e) when (e is JsonException or FormatException)
        {
            return null;
        }
    }
}
