using System.Runtime.CompilerServices;
using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.Hosting;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Words;

namespace Pourwright.Pages.Wall;

/// <summary>The screen on the wall, and what it is sent whenever something changes.</summary>
public static class WallPages
{
    public static void MapWall(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/studios/{studio}/wall/{site}", ShowAsync);
        endpoints.MapGet("/studios/{studio}/wall/{site}/live", LiveAsync);
    }

    private static async Task<IResult> ShowAsync(string studio, string site, StudioNode node, WallWatches watches, Visit visit, CancellationToken ct)
    {
        var name = $"studios/{studio}/sites/{site}";
        await node.Sites.GetSiteAsync(new() { Name = name }, cancellationToken: ct);
        await using var states = watches.FollowAsync(name, node, ct).GetAsyncEnumerator(ct);
        await states.MoveNextAsync();
        return await visit.PageAsync<WallPage>(("View", states.Current.View), ("Path", $"/studios/{studio}/wall/{site}"), ("Studio", $"studios/{studio}"));
    }

    private static async Task<ServerSentEventsResult<string>> LiveAsync(
        string studio, string site, StudioNode node, WallWatches watches, Visit visit, IHostApplicationLifetime lifetime, CancellationToken ct)
    {
        var name = $"studios/{studio}/sites/{site}";
        await node.Sites.GetSiteAsync(new() { Name = name }, cancellationToken: ct);
        return TypedResults.ServerSentEvents(SayAsync(watches, name, node, visit.Manner, lifetime, ct), "wall");
    }

    /// <summary>The board's HTML, whenever it is another. The browser asks again where this ends.</summary>
    private static async IAsyncEnumerable<string> SayAsync(
        WallWatches watches, string site, StudioNode node, Manner manner, IHostApplicationLifetime lifetime, [EnumeratorCancellation] CancellationToken ct)
    {
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(ct, lifetime.ApplicationStopping);
        await using var states = watches.FollowAsync(site, node, ending.Token).GetAsyncEnumerator(ending.Token);
        var said = "";
        while (await HasNextAsync(states))
        {
            var html = await states.Current.HtmlAsync(manner);
            if (html == said) continue;
            yield return said = html;
        }
    }

    private static async Task<bool> HasNextAsync(IAsyncEnumerator<WallState> states)
    {
        try
        {
            return await states.MoveNextAsync();
        }
        catch (Exception e) when (e is OperationCanceledException or RpcException)
        {
            return false;
        }
    }
}
