using System.Security.Cryptography;
using System.Text;

namespace Pourwright.Studio.Access;

/// <summary>Secrets that nobody guesses: of 128 bits and more, so that a bare hash keeps them.</summary>
public static class Secrets
{
    /// <summary>Hexadecimal digits of a link's secret: 128 bits.</summary>
    public const int LinkDigits = 32;

    /// <summary>Bytes of a key's secret: 256 bits.</summary>
    public const int KeyBytes = 32;

    /// <summary>Every key begins so: whoever finds one in a file knows what it is.</summary>
    public const string KeyPrefix = "pwk_";

    /// <summary>Every student's link begins so.</summary>
    public const string StudentPrefix = "pws_";

    /// <summary>SHA-256 of a secret.</summary>
    public static byte[] Hash(string secret) => SHA256.HashData(Encoding.UTF8.GetBytes(secret));
}
