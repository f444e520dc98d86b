using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Pages.Season;

/// <summary>The season as a picture: sessions are dragged to another day, and what that breaks is shown before anybody is told.</summary>
public static class SeasonPages
{
    /// <summary>Six weeks fit on a screen with days wide enough to hit.</summary>
    private const int DaysShown = 42;

    public static void MapSeason(this IEndpointRouteBuilder endpoints) => endpoints.MapGet("/studios/{studio}/season", ShowAsync);

    private static async Task<IResult> ShowAsync(string studio, DateOnly? from, StudioNode node, Visit visit, TimeProvider clock)
    {
        var name = $"studios/{studio}";
        var first = MondayOf(from ?? DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime));
        var classes = await Lists.AllAsync<CastingClass>(async token =>
        {
            var page = await node.Classes.ListCastingClassesAsync(new()
            {
                Parent = name, State = CastingClass.Types.State.Confirmed, StartDate = DateOf(first), EndDate = DateOf(first.AddDays(DaysShown - 1)),
                PageSize = Lists.PageSize, PageToken = token,
            });
            return (page.CastingClasses, page.NextPageToken);
        });
        return await visit.PageAsync<SeasonPage>(("Studio", name), ("View", LayLanes.Lay(first, DaysShown, classes, await TitlesAsync(node, name))));
    }

    private static async Task<Dictionary<string, string>> TitlesAsync(StudioNode node, string studio)
    {
        Dictionary<string, string> titles = [];
        foreach (var site in (await node.Sites.ListSitesAsync(new() { Parent = studio, PageSize = Lists.PageSize })).Sites)
        {
            titles[site.Name] = site.DisplayName;
            foreach (var bench in (await node.Sites.ListBenchesAsync(new() { Parent = site.Name, PageSize = Lists.PageSize })).Benches)
                titles[bench.Name] = $"{site.DisplayName}: {bench.DisplayName}";
        }
        return titles;
    }

    private static DateOnly MondayOf(DateOnly day) => day.AddDays(-(((int)day.DayOfWeek + 6) % 7));

    private static Date DateOf(DateOnly day) => new() { Year = day.Year, Month = day.Month, Day = day.Day };
}
