using Google.Protobuf.WellKnownTypes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Bench;

/// <summary>The tablet at the bench. What is recorded there goes straight to the JSON of the API, with a request id each.</summary>
public static class BenchPages
{
    /// <summary>How long a batch stays on the tablet. Whatever was mixed before that is no liquid any more; common practice, no source.</summary>
    private static readonly TimeSpan Kept = TimeSpan.FromDays(3);

    public static void MapBench(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/studios/{studio}/bench/{site}", ShowAsync);
        endpoints.MapGet("/studios/{studio}/bench/{site}/picture", PictureAsync);
        endpoints.MapPost("/studios/{studio}/bench/{site}/said", SayAsync);
    }

    private static async Task<IResult> ShowAsync(string studio, string site, StudioNode node, Visit visit) => await visit.PageAsync<BenchPage>(
        ("Site", await node.Sites.GetSiteAsync(new() { Name = $"studios/{studio}/sites/{site}" })));

    private static async Task<IResult> PictureAsync(string studio, string site, StudioNode node, TimeProvider clock, HttpContext context)
    {
        context.Response.Headers.CacheControl = "no-store";
        return TypedResults.Json(await TakeAsync(node, $"studios/{studio}", $"studios/{studio}/sites/{site}", clock.GetUtcNow()));
    }

    /// <summary>What the API answered to the tablet, in the words of its page.</summary>
    private static async Task<IResult> SayAsync(string studio, string site, ApiAnswer answer, StudioNode node, Visit visit)
    {
        var found = await node.Sites.GetSiteAsync(new() { Name = $"studios/{studio}/sites/{site}" });
        return TypedResults.Json(answer.In(new(visit.Manner, TimeZoneInfo.FindSystemTimeZoneById(found.TimeZone))));
    }

    private static async Task<BenchPicture> TakeAsync(StudioNode node, string studio, string name, DateTimeOffset now)
    {
        var site = await node.Sites.GetSiteAsync(new() { Name = name });
        var benches = await node.Sites.ListBenchesAsync(new() { Parent = name, PageSize = Lists.PageSize });
        var systems = await node.Resins.ListResinSystemsAsync(new() { Parent = studio, PageSize = Lists.PageSize });
        var cans = await node.Lots.ListContainersAsync(new() { Parent = studio, Site = name, PageSize = Lists.PageSize });
        var mixes = await node.Mixes.ListMixesAsync(
            new() { Parent = studio, Site = name, StartTime = Timestamp.FromDateTimeOffset(now - Kept), PageSize = Lists.PageSize });
        return new()
        {
            NowMs = now.ToUnixTimeMilliseconds(),
            Studio = studio,
            Site = name,
            People = [.. site.Contacts.Where(contact => contact.Role != Contact.Types.Role.Owner).Select(contact => contact.DisplayName).Distinct()],
            Systems = [.. systems.ResinSystems.Select(SystemPicture.Of)],
            Cans = [.. cans.Containers.Select(CanPicture.Of).OrderBy(can => can.ExpireMs ?? long.MaxValue).ThenByDescending(can => can.IsOpen)],
            Benches = [.. benches.Benches.Select(bench => new PlacePicture(bench.Name, bench.DisplayName))],
            Pieces = await PiecesAsync(node, studio, name),
            Batches = [.. mixes.Mixes.Where(mix => !mix.DidNotOccur && mix.RemainingMassMg > 0).Select(BatchPicture.Of).OrderByDescending(batch => batch.MixMs)],
        };
    }

    private static async Task<List<PiecePicture>> PiecesAsync(StudioNode node, string studio, string site)
    {
        List<PiecePicture> pieces = [];
        foreach (var state in (Piece.Types.State[])[Piece.Types.State.Prepared, Piece.Types.State.Curing, Piece.Types.State.Demolded])
        {
            foreach (var piece in await PiecesInHouse.ListAsync(node, studio, site, state, default))
            {
                var readiness = state == Piece.Types.State.Prepared ? null : await node.Forecasts.GetReadinessAsync(new() { Name = piece.Name });
                pieces.Add(PiecePicture.Of(piece, readiness));
            }
        }
        return [.. pieces.OrderBy(piece => piece.Label.Length).ThenBy(piece => piece.Label, StringComparer.Ordinal)];
    }
}
