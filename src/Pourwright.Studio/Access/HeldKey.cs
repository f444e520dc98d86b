using Microsoft.AspNetCore.Http;

namespace Pourwright.Studio.Access;

/// <summary>A key, or a token, that was shown and found good.</summary>
/// <param name="Caller">Whose it is.</param>
/// <param name="Sha256">What is kept of a key's secret, in hexadecimal digits; null of a token, of which nothing is kept.</param>
/// <param name="ExpireMs">From when on it is not good any more.</param>
/// <param name="Ended">Ends when this node learns that it was revoked.</param>
public sealed record HeldKey(Caller Caller, string? Sha256, long? ExpireMs, CancellationToken Ended)
{
    /// <summary>The key that came with a request; null where there was none, or none that is good.</summary>
    public static HeldKey? Of(HttpContext context) => context.Features.Get<HeldKey>();
}
