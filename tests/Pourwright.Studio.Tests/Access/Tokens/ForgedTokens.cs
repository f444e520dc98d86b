using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;

namespace Pourwright.Studio.Tests.Access.Tokens;

/// <summary>Tokens that nobody may come in with; each is a good one but for what its name says. Kinds of forgery after RFC 8725, sections 2 and 3.</summary>
internal static class ForgedTokens
{
    public static IReadOnlyDictionary<string, Func<TokenIssuer, string>> All { get; } = new Dictionary<string, Func<TokenIssuer, string>>
    {
        ["no algorithm, no signature"] = issuer => $"{Joined(TokenIssuer.Header("none"), issuer.Claims(), _ => [])}",
        ["no algorithm, written as NonE"] = issuer => Joined(TokenIssuer.Header("NonE"), issuer.Claims(), _ => []),
        ["no algorithm, with a signature"] = issuer => issuer.Signed(TokenIssuer.Header("none"), issuer.Claims()),
        ["HS256 by the public key as PEM"] = issuer => Joined(TokenIssuer.Header("HS256"), issuer.Claims(), bytes => HMACSHA256.HashData(Encoding.ASCII.GetBytes(issuer.Rsa.ExportSubjectPublicKeyInfoPem()), bytes)),
        ["HS256 by the public key's modulus"] = issuer => Joined(TokenIssuer.Header("HS256"), issuer.Claims(), bytes => HMACSHA256.HashData(issuer.Rsa.ExportParameters(false).Modulus!, bytes)),
        ["HS256 by an empty secret"] = issuer => Joined(TokenIssuer.Header("HS256"), issuer.Claims(), bytes => HMACSHA256.HashData(Array.Empty<byte>(), bytes)),
        ["an algorithm that is not listed"] = issuer => Joined(TokenIssuer.Header("RS512"), issuer.Claims(), bytes => issuer.Rsa.SignData(bytes, HashAlgorithmName.SHA512, RSASignaturePadding.Pkcs1)),
        ["another key under the issuer's kid"] = issuer => TokenIssuer.Signed(Text(TokenIssuer.Header()), Text(issuer.Claims()), issuer.Stranger),
        ["a kid that nobody knows"] = issuer => issuer.Signed(TokenIssuer.Header(kid: "rsa-2"), issuer.Claims()),
        ["a kid that is a path"] = issuer => Joined(TokenIssuer.Header("HS256", "../../../../dev/null"), issuer.Claims(), bytes => HMACSHA256.HashData(Array.Empty<byte>(), bytes)),
        ["a kid that is an address"] = issuer => Stranger(issuer, header => header["kid"] = $"{issuer.Name}/stranger"),
        ["a kid that is a statement"] = issuer => Stranger(issuer, header => header["kid"] = "x' UNION SELECT 'x' --"),
        ["no kid"] = issuer => Stranger(issuer, header => header.Remove("kid")),
        ["a jku of another place"] = issuer => Stranger(issuer, header => (header["kid"], header["jku"]) = ("stranger", $"{issuer.Name}/stranger")),
        ["an x5u of another place"] = issuer => Stranger(issuer, header => (header["kid"], header["x5u"]) = ("stranger", $"{issuer.Name}/stranger")),
        ["a jwk in the header"] = issuer => Stranger(issuer, header => (header["kid"], header["jwk"]) = ("stranger", TokenIssuer.RsaKey(issuer.Stranger, "stranger"))),
        ["an x5c in the header"] = issuer => Stranger(issuer, header => header["x5c"] = new JsonArray(Convert.ToBase64String(issuer.Stranger.ExportSubjectPublicKeyInfo()))),
        ["the key of the other algorithm"] = issuer => issuer.Signed(TokenIssuer.Header("ES256", TokenIssuer.EcKid), issuer.Claims()),
        ["an elliptic signature of zeros"] = issuer => Joined(TokenIssuer.Header("ES256", TokenIssuer.EcKid), issuer.Claims(), _ => new byte[64]),
        ["expired"] = issuer => Claiming(issuer, claims => (claims["iat"], claims["nbf"], claims["exp"]) = (TokenIssuer.Seconds(-3000), TokenIssuer.Seconds(-3000), TokenIssuer.Seconds(-31))),
        ["not yet good"] = issuer => Claiming(issuer, claims => claims["nbf"] = TokenIssuer.Seconds(31)),
        ["issued tomorrow"] = issuer => Claiming(issuer, claims => claims["iat"] = TokenIssuer.Seconds(600)),
        ["good for a year"] = issuer => Claiming(issuer, claims => claims["exp"] = TokenIssuer.Seconds(365 * 86_400)),
        ["good for ever"] = issuer => Claiming(issuer, claims => claims["exp"] = long.MaxValue),
        ["an expiry past every number"] = issuer => issuer.Signed(TokenIssuer.Header(), JsonNode.Parse(Text(issuer.Claims()).Replace($"\"exp\":{TokenIssuer.Seconds(1200)}", "\"exp\":1e400", StringComparison.Ordinal))!),
        ["an expiry below nought"] = issuer => Claiming(issuer, claims => claims["exp"] = -1),
        ["an expiry in words"] = issuer => Claiming(issuer, claims => claims["exp"] = "never"),
        ["no expiry"] = issuer => Claiming(issuer, claims => claims.Remove("exp")),
        ["no beginning"] = issuer => Claiming(issuer, claims => claims.Remove("nbf")),
        ["no time of issue"] = issuer => Claiming(issuer, claims => claims.Remove("iat")),
        ["for another audience"] = issuer => Claiming(issuer, claims => claims["aud"] = "pourwright-birch"),
        ["for nobody"] = issuer => Claiming(issuer, claims => claims.Remove("aud")),
        ["for an audience that begins the same"] = issuer => Claiming(issuer, claims => claims["aud"] = TokenIssuer.Audience + "-test"),
        ["of another issuer"] = issuer => Claiming(issuer, claims => claims["iss"] = "https://issuer.example"),
        ["of the issuer with a slash"] = issuer => Claiming(issuer, claims => claims["iss"] = issuer.Name + "/other"),
        ["of no issuer"] = issuer => Claiming(issuer, claims => claims.Remove("iss")),
        ["of nobody"] = issuer => Claiming(issuer, claims => claims.Remove("sub")),
        ["of no role"] = issuer => Claiming(issuer, claims => claims.Remove("pourwright_role")),
        ["of a role that is none"] = issuer => Claiming(issuer, claims => claims["pourwright_role"] = "5"),
        ["of no studio"] = issuer => Claiming(issuer, claims => claims.Remove("pourwright_studio")),
        ["of every studio"] = issuer => Claiming(issuer, claims => claims["pourwright_studio"] = ""),
        ["of no site"] = issuer => Claiming(issuer, claims => claims.Remove("pourwright_sites")),
        ["of an empty list of sites"] = issuer => Claiming(issuer, claims => claims["pourwright_sites"] = new JsonArray()),
        ["of a site of another studio"] = issuer => Claiming(issuer, claims => claims["pourwright_sites"] = new JsonArray("studios/birch/sites/east")),
        ["changed after it was signed"] = issuer => With(Good(issuer), 1, TokenIssuer.Text(Encoding.UTF8.GetBytes(Text(issuer.Claims()).Replace("instructor", "owner", StringComparison.Ordinal)))),
        ["a header changed after it was signed"] = issuer => With(Good(issuer), 0, TokenIssuer.Text(Encoding.UTF8.GetBytes(Text(TokenIssuer.Header("PS256"))))),
        ["a signature of another token"] = issuer => With(Good(issuer), 2, Claiming(issuer, claims => claims["pourwright_role"] = "owner").Split('.')[2]),
        ["its signature stripped"] = issuer => string.Join('.', Good(issuer).Split('.')[..2]),
        ["its signature empty"] = issuer => With(Good(issuer), 2, ""),
        ["its signature cut off"] = issuer => Good(issuer)[..^8],
        ["a fourth part"] = issuer => Good(issuer) + ".e30",
        ["as JSON and not in parts"] = issuer => Text(new JsonObject { ["payload"] = Good(issuer).Split('.')[1], ["signature"] = Good(issuer).Split('.')[2] }),
        ["a role said twice"] = issuer => Raw(issuer, Text(TokenIssuer.Header()), Text(issuer.Claims())[..^1] + ",\"pourwright_role\":\"owner\"}"),
        ["an algorithm said twice"] = issuer => Raw(issuer, Text(TokenIssuer.Header())[..^1] + ",\"alg\":\"none\"}", Text(issuer.Claims())),
        ["a token in a token"] = issuer => Raw(issuer, Text(Changed(TokenIssuer.Header(), header => header["cty"] = "JWT")), $"\"{Good(issuer)}\""),
        ["claims that are a list"] = issuer => Raw(issuer, Text(TokenIssuer.Header()), $"[{Text(issuer.Claims())}]"),
        ["of a type for signing in"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => header["typ"] = "JWT"), issuer.Claims()),
        ["of the type of a logout"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => header["typ"] = "logout+jwt"), issuer.Claims()),
        ["of no type"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => header.Remove("typ")), issuer.Claims()),
        ["not in base64, and said to be critical"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => (header["b64"], header["crit"]) = (false, new JsonArray("b64"))), issuer.Claims()),
        ["something critical that nobody knows"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => (header["crit"], header["moon"]) = (new JsonArray("moon"), "full")), issuer.Claims()),
        ["nothing critical"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => header["crit"] = new JsonArray()), issuer.Claims()),
        ["compressed"] = issuer => issuer.Signed(Changed(TokenIssuer.Header(), header => header["zip"] = "DEF"), issuer.Claims()),
        ["longer than any"] = issuer => Claiming(issuer, claims => claims["name"] = new string('x', 10_000)),
    };

    private static string Good(TokenIssuer issuer) => issuer.Signed(TokenIssuer.Header(), issuer.Claims());

    private static string Claiming(TokenIssuer issuer, Action<JsonObject> change) => issuer.Signed(TokenIssuer.Header(), Changed(issuer.Claims(), change));

    /// <summary>Signed by somebody whose key the header leads to.</summary>
    private static string Stranger(TokenIssuer issuer, Action<JsonObject> change) =>
        TokenIssuer.Signed(Text(Changed(TokenIssuer.Header(), change)), Text(issuer.Claims()), issuer.Stranger);

    private static string Raw(TokenIssuer issuer, string header, string claims) => TokenIssuer.Signed(header, claims, issuer.Rsa);

    private static string Joined(JsonObject header, JsonObject claims, Func<byte[], byte[]> sign) => TokenIssuer.Joined(Text(header), Text(claims), sign);

    private static string With(string token, int part, string text) => string.Join('.', token.Split('.').Select((was, i) => i == part ? text : was));

    private static JsonObject Changed(JsonObject json, Action<JsonObject> change)
    {
        change(json);
        return json;
    }

    private static string Text(JsonNode json) => json.ToJsonString();
}
