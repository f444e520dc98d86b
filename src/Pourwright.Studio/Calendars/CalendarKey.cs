using System.Security.Cryptography;
using System.Text;

namespace Pourwright.Studio.Calendars;

/// <summary>The secret in a link: 128 bits, 32 hexadecimal digits. Nobody guesses it, so that a bare hash keeps it.</summary>
internal static class CalendarKey
{
    public const int Digits = 32;

    public static byte[] Hash(string key) => SHA256.HashData(Encoding.UTF8.GetBytes(key));

    /// <summary>Where its feed is, below the address of the JSON port.</summary>
    public static string PathOf(string key) => $"/calendars/{key}.ics";
}
