using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Today;

/// <summary>The owner's evening: which classes are in trouble, worst first, and the way to everything else.</summary>
public static class TodayPages
{
    public static void MapToday(this IEndpointRouteBuilder endpoints) => endpoints.MapGet("/studios/{studio}", ShowAsync);

    private static async Task<IResult> ShowAsync(string studio, StudioNode node, Visit visit, TimeProvider clock)
    {
        var found = await node.Studios.GetStudioAsync(new() { Name = $"studios/{studio}" });
        var sites = (await node.Sites.ListSitesAsync(new() { Parent = found.Name, PageSize = Lists.PageSize })).Sites;
        var classes = await Lists.AllAsync<CastingClass>(async token =>
        {
            var page = await node.Classes.ListCastingClassesAsync(
                new() { Parent = found.Name, State = CastingClass.Types.State.Confirmed, PageSize = Lists.PageSize, PageToken = token });
            return (page.CastingClasses, page.NextPageToken);
        });
        var troubles = FindTrouble.Find(classes, await PiecesInHouse.LoadAsync(node, found.Name, site: "", castingClass: "", default),
            sites.ToDictionary(site => site.Name, site => TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone)), clock.GetUtcNow());
        var unclosed = classes.SelectMany(castingClass => castingClass.Sessions.Select(session => (Class: castingClass, Session: session)))
            .Where(held => held.Session.State != Session.Types.State.Cancelled && held.Session.CloseTime is null && held.Session.EndTime.ToDateTimeOffset() <= clock.GetUtcNow())
            .ToList();
        var shortfalls = await ShortfallsAsync(node, found.Name);
        return await visit.PageAsync<TodayPage>(("Studio", found), ("Sites", sites), ("Troubles", troubles), ("Unclosed", unclosed), ("Shortfalls", shortfalls));
    }

    /// <summary>None where the key does not show what the studio must buy: a tablet's page goes without.</summary>
    private static async Task<IReadOnlyList<Shortfall>> ShortfallsAsync(StudioNode node, string studio)
    {
        try
        {
            return (await node.Needs.ListShortfallsAsync(new() { Parent = studio })).Shortfalls;
        }
        catch (RpcException refusal) when (refusal.StatusCode == StatusCode.PermissionDenied)
        {
            return [];
        }
    }
}
