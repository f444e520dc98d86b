using System.Reflection;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;

namespace Pourwright.Pages.Serving;

/// <summary>Scripts, styles and pictures of the pages, out of this assembly.</summary>
public static class Assets
{
    private const string Prefix = "asset/";
    private static readonly Assembly Home = typeof(Assets).Assembly;

    private static readonly Dictionary<string, byte[]> Files = Home.GetManifestResourceNames()
        .Where(name => name.StartsWith(Prefix, StringComparison.Ordinal))
        .ToDictionary(name => name[Prefix.Length..], Read);

    private static readonly Dictionary<string, string> Kinds = new()
    {
        [".js"] = "text/javascript; charset=utf-8",
        [".css"] = "text/css; charset=utf-8",
        [".svg"] = "image/svg+xml",
        [".png"] = "image/png",
        [".webmanifest"] = "application/manifest+json",
    };

    /// <summary>Changes whenever one of the files does: the name of the cache on a tablet.</summary>
    public static string Version { get; } =
        Convert.ToHexStringLower(SHA256.HashData([.. Files.OrderBy(file => file.Key, StringComparer.Ordinal).SelectMany(file => SHA256.HashData(file.Value))]))[..12];

    /// <summary>Names of all files.</summary>
    public static IEnumerable<string> Names => Files.Keys;

    /// <summary>`/assets/{name}`. Whoever keeps one asks each time; the answer is mostly "unchanged".</summary>
    public static void MapAssets(this IEndpointRouteBuilder endpoints) => endpoints.MapGet("/assets/{name}", Answer);

    /// <summary>The text of a file, for one that is not served as it stands.</summary>
    public static string Text(string name) => System.Text.Encoding.UTF8.GetString(Files[name]);

    private static IResult Answer(string name, HttpContext context)
    {
        if (!Files.TryGetValue(name, out var bytes)) return TypedResults.NotFound();
        context.Response.Headers.CacheControl = "no-cache";
        return TypedResults.Bytes(bytes, Kinds[Path.GetExtension(name)], entityTag: new($"\"{Version}\""));
    }

    private static byte[] Read(string resource)
    {
        using var stream = Home.GetManifestResourceStream(resource)!;
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
