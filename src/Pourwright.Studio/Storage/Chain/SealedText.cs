using System.Security.Cryptography;
using System.Text;

namespace Pourwright.Studio.Storage.Chain;

/// <summary>A text of evidence that may have to be forgotten: the chain covers its seal, so that the text can go and the chain still holds.</summary>
/// <remarks>
/// The seal is SHA-256 of a salt of 128 bits, the column and the text. As long as the salt is there the text is vouched for like any other;
/// once it is deleted nobody can find the text by trying names, and an entry of `erasures`, itself in the chain, vouches for what stands instead.
/// </remarks>
public static class SealedText
{
    private const int SaltDigits = 32;

    public static string NewSalt() => RandomNumberGenerator.GetHexString(SaltDigits, lowercase: true);

    /// <summary>64 hexadecimal digits.</summary>
    public static string SealOf(string salt, string column, string text) => Sha256($"{salt}\n{column}\n{text}");

    public static string Sha256(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));
}
