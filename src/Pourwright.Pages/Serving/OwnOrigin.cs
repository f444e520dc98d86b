using Microsoft.AspNetCore.Http;

namespace Pourwright.Pages.Serving;

/// <summary>Refuses what another site makes a browser send here, and says what a page may load.</summary>
/// <remarks>
/// A browser says with every request that changes something where it comes from (`Sec-Fetch-Site`, else `Origin`); clients that are
/// no browsers say neither and carry no cookies. So no token is needed in forms, and pages can be kept by a tablet.
/// </remarks>
public sealed class OwnOrigin(RequestDelegate next)
{
    private const string Policy =
        "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'";

    public Task InvokeAsync(HttpContext context)
    {
        if (IsForeign(context.Request))
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return context.Response.WriteAsync("This request came from a page of another site. Open this site's own page and try again.");
        }
        context.Response.Headers.ContentSecurityPolicy = Policy;
        context.Response.Headers.XContentTypeOptions = "nosniff";
        context.Response.Headers["Referrer-Policy"] = "same-origin";
        return next(context);
    }

    private static bool IsForeign(HttpRequest request)
    {
        if (HttpMethods.IsGet(request.Method) || HttpMethods.IsHead(request.Method) || HttpMethods.IsOptions(request.Method)) return false;
        var fetchSite = request.Headers["Sec-Fetch-Site"].ToString();
        if (fetchSite.Length > 0) return fetchSite is not ("same-origin" or "none");
        var origin = request.Headers.Origin.ToString();
        return origin.Length > 0 && !(Uri.TryCreate(origin, UriKind.Absolute, out var from) && from.Authority == request.Host.Value);
    }
}
