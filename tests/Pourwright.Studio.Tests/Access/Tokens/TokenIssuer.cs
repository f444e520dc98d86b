using System.Buffers.Text;
using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Pourwright.Testing;

namespace Pourwright.Studio.Tests.Access.Tokens;

/// <summary>An issuer in this process with keys of its own: its metadata, its public keys, and tokens good and forged, written by hand so that no library corrects them.</summary>
internal sealed class TokenIssuer : IAsyncDisposable
{
    public const string Audience = "pourwright-alder", RsaKid = "rsa-1", EcKid = "ec-1";

    private static readonly DateTimeOffset Now = StudioHarness.Start;

    private readonly WebApplication _app;

    private TokenIssuer(WebApplication app) => _app = app;

    public RSA Rsa { get; } = RSA.Create(2048);

    public ECDsa Ec { get; } = ECDsa.Create(ECCurve.NamedCurves.nistP256);

    /// <summary>Of somebody else.</summary>
    public RSA Stranger { get; } = RSA.Create(2048);

    public string Name => _app.Urls.Single();

    /// <summary>Paths that were asked for.</summary>
    public List<string> Asked { get; } = [];

    public static async Task<TokenIssuer> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        builder.Logging.ClearProviders();
        var issuer = new TokenIssuer(builder.Build());
        issuer._app.Run(issuer.AnswerAsync);
        await issuer._app.StartAsync();
        return issuer;
    }

    public string Keys() => new JsonObject
    {
        ["keys"] = new JsonArray(
            RsaKey(Rsa, RsaKid),
            new JsonObject { ["kty"] = "EC", ["use"] = "sig", ["crv"] = "P-256", ["kid"] = EcKid, ["x"] = Text(Ec.ExportParameters(false).Q.X!), ["y"] = Text(Ec.ExportParameters(false).Q.Y!) }),
    }.ToJsonString();

    public static JsonObject RsaKey(RSA key, string kid) => new()
    {
        ["kty"] = "RSA", ["use"] = "sig", ["kid"] = kid, ["n"] = Text(key.ExportParameters(false).Modulus!), ["e"] = Text(key.ExportParameters(false).Exponent!),
    };

    public static JsonObject Header(string alg = "RS256", string kid = RsaKid) => new() { ["alg"] = alg, ["typ"] = "at+jwt", ["kid"] = kid };

    /// <summary>What a good token says: Ivo, who instructs at north, from ten minutes ago for half an hour.</summary>
    public JsonObject Claims() => new()
    {
        ["iss"] = Name, ["aud"] = Audience, ["sub"] = "ivo-7", ["name"] = "Ivo",
        ["iat"] = Seconds(-600), ["nbf"] = Seconds(-600), ["exp"] = Seconds(1200),
        ["pourwright_role"] = "instructor", ["pourwright_studio"] = "studios/alder", ["pourwright_sites"] = new JsonArray("studios/alder/sites/north"),
    };

    public static long Seconds(double fromNow) => Now.AddSeconds(fromNow).ToUnixTimeSeconds();

    /// <summary>Signed by the issuer's RSA key.</summary>
    public string Signed(JsonNode header, JsonNode claims) => Signed(header.ToJsonString(), claims.ToJsonString(), Rsa);

    public static string Signed(string header, string claims, RSA key, RSASignaturePadding? padding = null) =>
        Joined(header, claims, bytes => key.SignData(bytes, HashAlgorithmName.SHA256, padding ?? RSASignaturePadding.Pkcs1));

    public static string Joined(string header, string claims, Func<byte[], byte[]> sign)
    {
        var signed = $"{Text(Encoding.UTF8.GetBytes(header))}.{Text(Encoding.UTF8.GetBytes(claims))}";
        return $"{signed}.{Text(sign(Encoding.ASCII.GetBytes(signed)))}";
    }

    public static string Text(byte[] bytes) => Base64Url.EncodeToString(bytes);

    public async ValueTask DisposeAsync()
    {
        await _app.DisposeAsync();
        Rsa.Dispose();
        Ec.Dispose();
        Stranger.Dispose();
    }

    private Task AnswerAsync(HttpContext context)
    {
        lock (Asked) Asked.Add(context.Request.Path);
        context.Response.ContentType = "application/json";
        return context.Response.WriteAsync((string)context.Request.Path! switch
        {
            "/.well-known/openid-configuration" => new JsonObject { ["issuer"] = Name, ["jwks_uri"] = $"{Name}/keys" }.ToJsonString(),
            "/keys" => Keys(),
            // Where a forged header says that its key is.
            _ => new JsonObject { ["keys"] = new JsonArray(RsaKey(Stranger, "stranger")) }.ToJsonString(),
        });
    }
}
