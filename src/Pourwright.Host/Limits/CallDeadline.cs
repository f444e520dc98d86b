using System.Globalization;

namespace Pourwright.Host.Limits;

/// <summary>The deadline that a gRPC client sets in a header: digits and a unit, `1500m` for 1.5 s (gRPC over HTTP/2, Timeout; from memory).</summary>
internal static class CallDeadline
{
    private const string Header = "grpc-timeout";

    private const int DigitsMax = 8;

    /// <summary>Sets the latest where the client set none, or a later one: the framework then ends the call and says so.</summary>
    public static void Cap(IHeaderDictionary headers, TimeSpan most)
    {
        if (Read(headers[Header].ToString()) is { } asked && asked <= most) return;
        headers[Header] = $"{(long)most.TotalMilliseconds}m";
    }

    /// <summary>Null of what is no timeout.</summary>
    internal static TimeSpan? Read(string text)
    {
        if (text.Length is < 2 or > DigitsMax + 1 || !long.TryParse(text[..^1], NumberStyles.None, CultureInfo.InvariantCulture, out var amount)) return null;
        return text[^1] switch
        {
            'H' => TimeSpan.FromHours(amount),
            'M' => TimeSpan.FromMinutes(amount),
            'S' => TimeSpan.FromSeconds(amount),
            'm' => TimeSpan.FromMilliseconds(amount),
            'u' => TimeSpan.FromMicroseconds(amount),
            'n' => TimeSpan.FromTicks(amount / TimeSpan.NanosecondsPerTick),
            _ => null,
        };
    }
}
