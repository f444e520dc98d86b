using Grpc.Core.Interceptors;
using Grpc.Net.Client;
using Microsoft.AspNetCore.Http;

namespace Pourwright.Pages.Serving;

/// <summary>The key of whoever looks at a page: the page asks the node with it and sees what they may see.</summary>
internal static class ShownKey
{
    /// <summary>The node's JSON takes it as well, so that a page's script posts without knowing the key.</summary>
    public const string Cookie = "pourwright_key";

    private const string Header = "authorization";

    /// <summary>For whom the pages ask: who comes without a key is counted by address.</summary>
    private const string AddressHeader = "x-forwarded-for";

    /// <summary>The node as the maker of a request sees it.</summary>
    public static StudioNode Forward(GrpcChannel channel, HttpContext? context) => With(channel, Shown(context?.Request), $"{context?.Connection.RemoteIpAddress}");

    /// <summary>The node as it is seen with a key.</summary>
    public static StudioNode Show(GrpcChannel channel, string key) => With(channel, Bearer(key));

    private static string Shown(HttpRequest? request) =>
        request?.Headers.Authorization.ToString() is { Length: > 0 } header ? header
        : request?.Cookies[Cookie] is { Length: > 0 } key ? Bearer(key)
        : "";

    private static string Bearer(string key) => $"Bearer {key}";

    private static StudioNode With(GrpcChannel channel, string header, string address = "") => new(channel.Intercept(headers =>
    {
        if (header.Length > 0) headers.Add(Header, header);
        if (address.Length > 0) headers.Add(AddressHeader, address);
        return headers;
    }), header);
}
