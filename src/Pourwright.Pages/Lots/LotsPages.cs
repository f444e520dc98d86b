using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Lots;

/// <summary>What stands on the shelves: grams left and expiry, what expires first at the top.</summary>
public static class LotsPages
{
    public static void MapLots(this IEndpointRouteBuilder endpoints) => endpoints.MapGet("/studios/{studio}/lots", ShowAsync);

    private static async Task<IResult> ShowAsync(string studio, StudioNode node, Visit visit, TimeProvider clock)
    {
        var name = $"studios/{studio}";
        var sites = (await node.Sites.ListSitesAsync(new() { Parent = name, PageSize = Serving.Lists.PageSize })).Sites;
        var cans = await Serving.Lists.AllAsync<Container>(async token =>
        {
            var page = await node.Lots.ListContainersAsync(new() { Parent = name, PageSize = Serving.Lists.PageSize, PageToken = token });
            return (page.Containers, page.NextPageToken);
        });
        return await visit.PageAsync<LotsPage>(("Studio", name), ("Now", clock.GetUtcNow()),
            ("Cans", cans.OrderBy(can => can.ExpireTime?.ToDateTimeOffset() ?? DateTimeOffset.MaxValue).ThenBy(can => can.Name, StringComparer.Ordinal).ToList()),
            ("Zones", sites.ToDictionary(site => site.Name, site => TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone))));
    }
}
