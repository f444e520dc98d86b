using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Student;

/// <summary>What one student sees by their link.</summary>
/// <remarks>
/// The secret follows the `#` of the address: a browser sends it to nobody, so that neither this node's log nor a proxy's nor a mail program's
/// preview reads it. A script posts it at once and takes it out of the address; without scripts a person pastes it into a form. From then on a
/// cookie that no script reads shows it, on this page and nowhere else.
/// </remarks>
public static class StudentPages
{
    private const string Path = "/mine", Cookie = "pourwright_link";

    private const int SecretLengthMax = 100;

    /// <summary>As long as a key stays on a tablet; the link itself expires, and a revoked one is refused at once.</summary>
    private static readonly TimeSpan Kept = TimeSpan.FromDays(90);

    public static void MapStudent(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet(Path, ShowAsync);
        endpoints.MapPost(Path, OpenAsync);
        endpoints.MapPost($"{Path}/leave", Leave);
    }

    private static async Task<IResult> ShowAsync(HttpContext context, NodeChannel channel, Visit visit)
    {
        var page = context.Request.Cookies[Cookie] is { Length: > 0 } secret
            ? IsSecret(secret) && await OwnAsync(channel, secret) is { } own
                ? await visit.PageAsync<StudentPage>(("View", own))
                : await visit.PageAsync<StudentDoor>(StatusCodes.Status401Unauthorized, ("IsShut", true))
            : await visit.PageAsync<StudentDoor>(("IsShut", false));
        // Phones are lent: nothing of it is kept.
        context.Response.Headers.CacheControl = "no-store";
        return page;
    }

    /// <summary>Takes the secret, or the whole address that somebody pasted.</summary>
    private static async Task<RedirectHttpResult> OpenAsync(HttpRequest request)
    {
        var pasted = (await request.ReadFormAsync())["link"].ToString().Trim();
        var secret = pasted[(pasted.LastIndexOf('#') + 1)..];
        request.HttpContext.Response.Cookies.Append(Cookie, IsSecret(secret) ? secret : "-", Options(request, Kept));
        return TypedResults.LocalRedirect(Path);
    }

    private static RedirectHttpResult Leave(HttpRequest request)
    {
        request.HttpContext.Response.Cookies.Append(Cookie, "", Options(request, TimeSpan.Zero));
        return TypedResults.LocalRedirect(Path);
    }

    private static CookieOptions Options(HttpRequest request, TimeSpan kept) =>
        new() { Path = Path, MaxAge = kept, SameSite = SameSiteMode.Strict, HttpOnly = true, Secure = request.IsHttps };

    /// <summary>What may stand in a header; anything else opens nothing.</summary>
    private static bool IsSecret(string text) => text.Length <= SecretLengthMax && text.All(letter => char.IsAsciiLetterOrDigit(letter) || letter is '-' or '_');

    /// <summary>Null where the link is good no longer, or never was.</summary>
    private static async Task<OwnPage?> OwnAsync(NodeChannel channel, string secret)
    {
        try
        {
            return await ShownKey.Show(channel.Channel, secret).Own.GetOwnPageAsync(new());
        }
        catch (RpcException refusal) when (refusal.StatusCode is StatusCode.Unauthenticated or StatusCode.PermissionDenied)
        {
            return null;
        }
    }
}
