using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;
using Google.Protobuf;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Access;

/// <summary>Seals the tokens of pages that were thinned: a token names the last row of its page, which may be another site's.</summary>
/// <remarks>AES-256-GCM with a key that the nodes of a store share: 12 bytes of nonce, 16 of tag, then the token.</remarks>
public sealed class PageSeal(StudioReads reads)
{
    private const int NonceBytes = 12, TagBytes = 16;

    private readonly Lazy<byte[]> _key = new(() => reads.Read(AccessKeyStore.PageSecret));

    /// <summary>Puts the list's own token into a request that carries a sealed one.</summary>
    /// <exception cref="Refusal">PAGE_TOKEN_INVALID.</exception>
    public void Open(IMessage request)
    {
        if (request.Descriptor.FindFieldByName("page_token") is { } field && field.Accessor.GetValue(request) is string { Length: > 0 } token)
            field.Accessor.SetValue(request, Open(token));
    }

    /// <summary>Seals the token of an answer.</summary>
    public void Close(IMessage answer)
    {
        if (answer.Descriptor.FindFieldByName("next_page_token") is { } field && field.Accessor.GetValue(answer) is string { Length: > 0 } token)
            field.Accessor.SetValue(answer, Close(token));
    }

    private string Open(string token)
    {
        var bytes = Base64Url.IsValid(token) ? Base64Url.DecodeFromChars(token) : [];
        if (bytes.Length <= NonceBytes + TagBytes) throw Refusal.PageTokenInvalid(token);
        var plain = new byte[bytes.Length - NonceBytes - TagBytes];
        try
        {
            using var aes = new AesGcm(_key.Value, TagBytes);
            aes.Decrypt(bytes.AsSpan(0, NonceBytes), bytes.AsSpan(NonceBytes + TagBytes), bytes.AsSpan(NonceBytes, TagBytes), plain);
        }
        catch (AuthenticationTagMismatchException)
        {
            throw Refusal.PageTokenInvalid(token);
        }
        return Encoding.UTF8.GetString(plain);
    }

    private string Close(string token)
    {
        var plain = Encoding.UTF8.GetBytes(token);
        var bytes = new byte[NonceBytes + TagBytes + plain.Length];
        RandomNumberGenerator.Fill(bytes.AsSpan(0, NonceBytes));
        using var aes = new AesGcm(_key.Value, TagBytes);
        aes.Encrypt(bytes.AsSpan(0, NonceBytes), plain, bytes.AsSpan(NonceBytes + TagBytes), bytes.AsSpan(NonceBytes, TagBytes));
        return Base64Url.EncodeToString(bytes);
    }
}
