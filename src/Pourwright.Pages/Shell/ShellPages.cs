using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Words;

namespace Pourwright.Pages.Shell;

/// <summary>The first page, and how a person wants things said.</summary>
public static class ShellPages
{
    public static void MapShell(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/", ShowStudiosAsync);
        endpoints.MapGet("/studios/{studio}", ShowStudioAsync);
        endpoints.MapPost("/manner", SetMannerAsync);
        endpoints.MapGet("/service-worker.js", ServiceWorker);
    }

    private static async Task<IResult> ShowStudiosAsync(StudioNode node, Visit visit)
    {
        var studios = (await node.Studios.ListStudiosAsync(new() { PageSize = Lists.PageSize })).Studios;
        return studios is [var only] ? TypedResults.Redirect($"/{only.Name}") : await visit.PageAsync<StudiosPage>(("Studios", studios));
    }

    private static async Task<IResult> ShowStudioAsync(string studio, StudioNode node, Visit visit)
    {
        var found = await node.Studios.GetStudioAsync(new() { Name = $"studios/{studio}" });
        var sites = (await node.Sites.ListSitesAsync(new() { Parent = found.Name, PageSize = Lists.PageSize })).Sites;
        return await visit.PageAsync<StudioPage>(("Studio", found), ("Sites", sites));
    }

    private static async Task<IResult> SetMannerAsync(HttpRequest request)
    {
        var form = await request.ReadFormAsync();
        Keep(request, Manner.LanguageCookie, Texts.In(form["language"]).Language);
        Keep(request, Manner.UnitsCookie, Units.In(form["units"]).System);
        var from = Uri.TryCreate(request.Headers.Referer, UriKind.Absolute, out var page) && page.Authority == request.Host.Value;
        return TypedResults.Redirect(from ? page!.PathAndQuery : "/");
    }

    private static void Keep(HttpRequest request, string cookie, string value) => request.HttpContext.Response.Cookies.Append(
        cookie, value, new() { MaxAge = TimeSpan.FromDays(365), SameSite = SameSiteMode.Strict, HttpOnly = true, Secure = request.IsHttps });

    /// <summary>It stands at the root, so that it may answer for the pages; its cache is named after what it keeps.</summary>
    private static ContentHttpResult ServiceWorker(HttpResponse response)
    {
        response.Headers.CacheControl = "no-cache";
        return TypedResults.Text(Assets.Text("service-worker.js").Replace("VERSION", Assets.Version, StringComparison.Ordinal), "text/javascript");
    }
}
