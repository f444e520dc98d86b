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
        endpoints.MapPost("/manner", SetMannerAsync);
        endpoints.MapGet("/service-worker.js", ServiceWorker);
    }

    private static async Task<IResult> ShowStudiosAsync(StudioNode node, Visit visit)
    {
        var studios = (await node.Studios.ListStudiosAsync(new() { PageSize = Lists.PageSize })).Studios;
        return studios is [var only] ? TypedResults.Redirect($"/{only.Name}") : await visit.PageAsync<StudiosPage>(("Studios", studios));
    }

    private static async Task<IResult> SetMannerAsync(HttpRequest request, Visit visit)
    {
        var form = await request.ReadFormAsync();
        visit.Keep(Manner.LanguageCookie, Texts.In(form["language"]).Language);
        visit.Keep(Manner.UnitsCookie, Units.In(form["units"]).System);
        var isOurs = Uri.TryCreate(request.Headers.Referer, UriKind.Absolute, out var page) && page.Authority == request.Host.Value;
        return TypedResults.Redirect(isOurs ? page!.PathAndQuery : "/");
    }

    /// <summary>It stands at the root, so that it may answer for the pages; its cache is named after what it keeps.</summary>
    private static ContentHttpResult ServiceWorker(HttpResponse response)
    {
        response.Headers.CacheControl = "no-cache";
        return TypedResults.Text(Assets.Text("service-worker.js").Replace("VERSION", Assets.Version, StringComparison.Ordinal), "text/javascript");
    }
}
