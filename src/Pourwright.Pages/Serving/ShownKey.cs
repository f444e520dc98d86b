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

    /// <summary>The node as the maker of a request sees it.</summary>
    public static StudioNode Forward(GrpcChannel channel, HttpContext? context) =>
        context?.Request.Headers.Authorization.ToString() is { Length: > 0 } header ? With(channel, header)
        : context?.Request.Cookies[Cookie] is { Length: > 0 } key ? Show(channel, key)
        : new(channel.CreateCallInvoker(), "");

    /// <summary>The node as it is seen with a key.</summary>
    public static StudioNode Show(GrpcChannel channel, string key) => With(channel, $"Bearer {key}");

    private static StudioNode With(GrpcChannel channel, string header) => new(channel.Intercept(headers =>
    {
        headers.Add(Header, header);
        return headers;
    }), header);
}
