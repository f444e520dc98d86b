using Microsoft.Extensions.Logging;
using Microsoft.IdentityModel.JsonWebTokens;
using Microsoft.IdentityModel.Protocols;
using Microsoft.IdentityModel.Protocols.OpenIdConnect;
using Microsoft.IdentityModel.Tokens;

namespace Pourwright.Studio.Access;

/// <summary>Reads tokens of the issuer that the node trusts.</summary>
/// <remarks>
/// Signatures of three algorithms, with keys of the issuer alone; `iss`, `aud`, `typ`, `exp`, `nbf` and `iat` must all be there and hold
/// (RFC 8725, 3.1 and 3.8 to 3.11). Nothing in a token says where its key is.
/// </remarks>
public sealed class Tokens(TokenOptions options, TimeProvider time, ILogger<Tokens> logger)
{
    private static readonly string[] Algorithms = [SecurityAlgorithms.RsaSha256, SecurityAlgorithms.EcdsaSha256, SecurityAlgorithms.RsaSsaPssSha256];

    private readonly JsonWebTokenHandler _handler = new() { MapInboundClaims = false, MaximumTokenSizeInBytes = TokenShape.LengthMax };

    private readonly Lazy<TokenValidationParameters> _terms = new(() => Terms(options, time));

    /// <summary>Who calls with it, until it expires; null of anything but a genuine token.</summary>
    public async Task<HeldKey?> FindAsync(string token)
    {
        if (!options.IsOn || !TokenShape.IsPlain(token)) return null;
        var result = await _handler.ValidateTokenAsync(token, _terms.Value);
        if (result.IsValid) return Held((JsonWebToken)result.SecurityToken);
        if (result.Exception is InvalidOperationException or HttpRequestException or IOException)
            logger.LogWarning("Tokens cannot be checked: the keys of {Authority} are not to be had. {Problem}", options.Authority, result.Exception.Message);
        return null;
    }

    private HeldKey? Held(JsonWebToken token)
    {
        if (!token.TryGetPayloadValue<long>("nbf", out _) || !token.TryGetPayloadValue<long>("iat", out var issued) || !token.TryGetPayloadValue<long>("exp", out var expires)) return null;
        if (expires - issued > options.LifetimeMax.TotalSeconds || issued > time.GetUtcNow().ToUnixTimeSeconds() + options.ClockSkew.TotalSeconds) return null;
        var caller = TokenCaller.Of(
            Text(token, JwtRegisteredClaimNames.Sub), Text(token, JwtRegisteredClaimNames.Name), Text(token, options.RoleClaim), Text(token, options.StudioClaim), Sites(token));
        return caller is null ? null : new(caller, null, expires * 1000, CancellationToken.None);
    }

    private static string? Text(JsonWebToken token, string claim) => token.TryGetPayloadValue<string>(claim, out var text) ? text : null;

    private string[] Sites(JsonWebToken token) =>
        token.TryGetPayloadValue<string[]>(options.SitesClaim, out var list) ? list : Text(token, options.SitesClaim) is { } one ? [one] : [];

    private static TokenValidationParameters Terms(TokenOptions options, TimeProvider time)
    {
        if (options.Audience.Length == 0) throw new InvalidOperationException("Access:Tokens:Audience is empty. Name the audience that tokens for this node carry.");
        var terms = new TokenValidationParameters
        {
            ValidIssuer = options.Authority,
            ValidAudience = options.Audience,
            ValidAlgorithms = Algorithms,
            ValidTypes = options.Types,
            ClockSkew = options.ClockSkew,
            TryAllIssuerSigningKeys = false,
            IncludeTokenOnFailedValidation = false,
            LifetimeValidator = (from, until, _, _) => Holds(from, until, time.GetUtcNow().UtcDateTime, options.ClockSkew),
        };
        if (options.KeyFile.Length > 0) terms.IssuerSigningKeys = new JsonWebKeySet(File.ReadAllText(options.KeyFile)).GetSigningKeys();
        else terms.ConfigurationManager = Metadata(options.Authority);
        return terms;
    }

    private static bool Holds(DateTime? from, DateTime? until, DateTime now, TimeSpan skew) => from - skew <= now && now < until + skew;

    /// <summary>The issuer's metadata and keys, asked again when a token names a key that is not among them, and no more often than its library lets anybody.</summary>
    private static ConfigurationManager<OpenIdConnectConfiguration> Metadata(string authority) => new(
        $"{authority.TrimEnd('/')}/.well-known/openid-configuration",
        new OpenIdConnectConfigurationRetriever(),
        new HttpDocumentRetriever { RequireHttps = !new Uri(authority).IsLoopback });
}
