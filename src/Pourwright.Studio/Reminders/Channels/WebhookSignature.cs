using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Pourwright.Studio.Reminders.Channels;

/// <summary>Signature of a webhook after the Standard Webhooks specification: HMAC-SHA256 of `id.timestamp.body`.</summary>
public static class WebhookSignature
{
    private const string SecretPrefix = "whsec_";

    /// <summary>`v1,` and base64 of the HMAC, once for each secret, parted by spaces. The timestamp is in Unix seconds.</summary>
    /// <exception cref="FormatException">A secret is not base64 after its prefix.</exception>
    public static string Of(string id, long timestampSeconds, ReadOnlySpan<byte> body, IEnumerable<string> secrets)
    {
        byte[] signed = [.. Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{id}.{timestampSeconds}.")), .. body];
        return string.Join(' ', secrets.Select(secret => $"v1,{Convert.ToBase64String(HMACSHA256.HashData(Key(secret), signed))}"));
    }

    private static byte[] Key(string secret) => Convert.FromBase64String(
        secret.StartsWith(SecretPrefix, StringComparison.Ordinal) ? secret[SecretPrefix.Length..] : secret);
}
