using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;

namespace Pourwright.Pages.SignIn;

/// <summary>A browser shows a key by a cookie, which no script can read; a page that finds none asks for it.</summary>
public static class SignInPages
{
    /// <summary>A tablet stays signed in for a season; a key that is revoked is refused at once all the same.</summary>
    private static readonly TimeSpan Kept = TimeSpan.FromDays(90);

    public static void MapSignIn(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapPost("/sign-in", SignInAsync);
        endpoints.MapPost("/sign-out", SignOut);
    }

    private static async Task<IResult> SignInAsync(HttpRequest request, NodeChannel channel, Visit visit)
    {
        var form = await request.ReadFormAsync();
        var (key, to) = (form["key"].ToString().Trim(), LocalPath(form["to"].ToString()));
        if (!await IsAcceptedAsync(channel, key))
            return await visit.PageAsync<SignInPage>(StatusCodes.Status401Unauthorized, ("To", to), ("WasWrong", true));
        request.HttpContext.Response.Cookies.Append(ShownKey.Cookie, key,
            new() { MaxAge = Kept, SameSite = SameSiteMode.Strict, HttpOnly = true, Secure = request.IsHttps });
        return TypedResults.LocalRedirect(to);
    }

    private static RedirectHttpResult SignOut(HttpResponse response)
    {
        response.Cookies.Delete(ShownKey.Cookie);
        return TypedResults.LocalRedirect("/");
    }

    private static async Task<bool> IsAcceptedAsync(NodeChannel channel, string key)
    {
        try
        {
            await ShownKey.Show(channel.Channel, key).Access.GetIdentityAsync(new());
            return true;
        }
        catch (RpcException refusal) when (refusal.StatusCode == StatusCode.Unauthenticated)
        {
            return false;
        }
    }

    /// <summary>Never to another site.</summary>
    private static string LocalPath(string path) =>
        path.StartsWith('/') && !path.StartsWith("//", StringComparison.Ordinal) && !path.Contains('\\', StringComparison.Ordinal) ? path : "/";
}
