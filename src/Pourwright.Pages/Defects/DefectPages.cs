using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Defects;

/// <summary>From a defect to its suspects, its sisters and a recall, one page after the other; hold first, argue the cause after.</summary>
public static class DefectPages
{
    public static void MapDefects(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/studios/{studio}/defects", ListAsync);
        endpoints.MapPost("/studios/{studio}/defects", ReportAsync);
        endpoints.MapGet("/studios/{studio}/defects/{defect}", ShowAsync);
        endpoints.MapPost("/studios/{studio}/defects/{defect}/sisters", HoldAsync);
        endpoints.MapPost("/studios/{studio}/recalls", RecallAsync);
        endpoints.MapGet("/studios/{studio}/recalls/{recall}", ShowRecallAsync);
    }

    private static async Task<IResult> ListAsync(string studio, string? piece, StudioNode node, Visit visit)
    {
        var name = $"studios/{studio}";
        var defects = await Lists.AllAsync<Defect>(async token =>
        {
            var page = await node.Defects.ListDefectsAsync(new() { Parent = name, PageSize = Lists.PageSize, PageToken = token });
            return (page.Defects, page.NextPageToken);
        });
        var recalls = (await node.Recalls.ListRecallsAsync(new() { Parent = name, PageSize = Lists.PageSize })).Recalls;
        return await visit.PageAsync<DefectsPage>(("Studio", name), ("Piece", piece ?? ""),
            ("Defects", defects.OrderByDescending(defect => defect.FindTime).ToList()), ("Recalls", recalls));
    }

    private static async Task<IResult> ReportAsync(string studio, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        var defect = await node.Defects.ReportDefectAsync(new()
        {
            Parent = $"studios/{studio}",
            Defect = new()
            {
                Piece = $"studios/{studio}/pieces/{form["piece"]}", Kind = Enum.Parse<Defect.Types.Kind>(form["kind"].ToString()),
                Finder = visit.SignedBy(form), Note = form["note"].ToString(),
            },
            RequestId = form["request"].ToString(),
        });
        return TypedResults.Redirect($"/{defect.Name}");
    }

    private static async Task<IResult> ShowAsync(string studio, string defect, StudioNode node, Visit visit)
    {
        var found = await node.Defects.GetDefectAsync(new() { Name = $"studios/{studio}/defects/{defect}" });
        return await visit.PageAsync<DefectPage>(
            ("Defect", found),
            ("Piece", await node.Pieces.GetPieceAsync(new() { Name = found.Piece })),
            ("Trace", await node.Traces.TracePieceAsync(new() { Name = found.Piece })),
            ("Ranking", await node.Suspects.RankSuspectsAsync(new() { Parent = $"studios/{studio}", Kinds = { found.Kind } })),
            ("Evidence", await node.Suspects.GetPieceEvidenceAsync(new() { Name = found.Name })));
    }

    private static async Task<IResult> HoldAsync(string studio, string defect, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        var name = $"studios/{studio}/defects/{defect}";
        var holds = await node.Recalls.HoldSistersAsync(new()
        {
            Name = name, Level = Enum.Parse<HoldSistersRequest.Types.Level>(form["level"].ToString()), Person = visit.SignedBy(form), RequestId = form["request"].ToString(),
        });
        return await visit.PageAsync<SistersPage>(("Defect", name), ("Holds", holds));
    }

    /// <summary>Shows what a recall would reach, and starts it once a person says so.</summary>
    private static async Task<IResult> RecallAsync(string studio, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        var request = new StartRecallRequest
        {
            Parent = $"studios/{studio}", Scope = new() { Name = form["scope"].ToString() }, Reason = form["reason"].ToString(),
            Starter = visit.SignedBy(form), RequestId = form["request"].ToString(), ValidateOnly = form["sure"] != "yes",
        };
        var recall = await node.Recalls.StartRecallAsync(request);
        return request.ValidateOnly
            ? await visit.PageAsync<RecallPage>(("Recall", recall), ("Studio", request.Parent), ("Request", request))
            : TypedResults.Redirect($"/{recall.Name}");
    }

    private static async Task<IResult> ShowRecallAsync(string studio, string recall, StudioNode node, Visit visit) => await visit.PageAsync<RecallPage>(
        ("Recall", await node.Recalls.GetRecallAsync(new() { Name = $"studios/{studio}/recalls/{recall}" })), ("Studio", $"studios/{studio}"));
}
