using System.Security.Cryptography;

namespace Pourwright.Evidence.Sealing;

/// <summary>A SHA-256 digest: 32 bytes, kept as 64 lower-case hexadecimal digits.</summary>
public readonly record struct Digest
{
    private Digest(string hex) => Hex = hex;

    public string Hex { get; }

    public byte[] ToBytes() => Convert.FromHexString(Hex);

    public override string ToString() => Hex;

    /// <exception cref="FormatException">Not 64 hexadecimal digits in lower case.</exception>
    public static Digest FromHex(string hex) =>
        hex.Length == 64 && hex.All(char.IsAsciiHexDigitLower)
            ? new(hex)
            : throw new FormatException($"\"{hex}\" is no SHA-256 digest: give 64 hexadecimal digits in lower case.");

    /// <summary>SHA-256 of all parts, one after the other.</summary>
    public static Digest Of(params ReadOnlySpan<byte[]> parts)
    {
        var joined = new MemoryStream();
        foreach (var part in parts)
            joined.Write(part);
        return new(Convert.ToHexStringLower(SHA256.HashData(joined.GetBuffer().AsSpan(0, (int)joined.Length))));
    }
}
