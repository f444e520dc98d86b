using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.Pages.Words;
using Pourwright.V1;
using Enum = System.Enum;

namespace Pourwright.Pages.Pieces;

/// <summary>The page of a piece: how far it is, why, what would help, what was done; and what is done now, with its cautions.</summary>
public static class PiecePages
{
    public static void MapPieces(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapGet("/studios/{studio}/pieces/{piece}", ShowAsync);
        endpoints.MapPost("/studios/{studio}/pieces/{piece}/checks", CheckAsync);
        endpoints.MapPost("/studios/{studio}/pieces/{piece}/steps", StepAsync);
    }

    private static async Task<IResult> ShowAsync(string studio, string piece, double? hold, double? move, bool? least, StudioNode node, Visit visit)
    {
        var name = $"studios/{studio}/pieces/{piece}";
        // A person of the US thinks of a room in °F.
        var holdCelsius = hold is { } said && visit.Manner.Units.IsUs ? (said - 32) / 1.8 : hold;
        return await visit.PageAsync<PiecePage>(("View", await LoadAsync(node, name, new(holdCelsius, move, least ?? false))));
    }

    private static async Task<PieceView> LoadAsync(StudioNode node, string name, AskedChange asked)
    {
        var piece = await node.Pieces.GetPieceAsync(new() { Name = name });
        var site = await node.Sites.GetSiteAsync(new() { Name = piece.Site });
        var readiness = await node.Forecasts.GetReadinessAsync(new() { Name = name });
        var forecast = readiness.Forecast.Length > 0 ? await node.Forecasts.GetForecastAsync(new() { Name = readiness.Forecast }) : null;
        return new(piece, TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone), readiness, forecast,
            (await node.Pieces.ListPoursAsync(new() { Parent = name, PageSize = Lists.PageSize })).Pours,
            (await node.Pieces.ListChecksAsync(new() { Parent = name, PageSize = Lists.PageSize })).Checks,
            (await node.Pieces.ListStepsAsync(new() { Parent = name, PageSize = Lists.PageSize })).Steps,
            asked.IsAny ? await AskAsync(node, name, asked) : null, asked);
    }

    private static async Task<WhatIfAnswer> AskAsync(StudioNode node, string piece, AskedChange asked)
    {
        var request = new AskWhatIfRequest { Piece = piece };
        if (asked.Least) request.SmallestWarming = new();
        else if (asked.HoldCelsius is { } celsius) request.HoldRoom = new() { TemperatureCelsius = celsius };
        else request.MoveSession = new() { By = Duration.FromTimeSpan(TimeSpan.FromHours(asked.MoveHours!.Value)) };
        return await node.Advice.AskWhatIfAsync(request);
    }

    private static async Task<IResult> CheckAsync(string studio, string piece, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        var name = $"studios/{studio}/pieces/{piece}";
        await node.Pieces.RecordCheckAsync(new()
        {
            Parent = name,
            Check = new() { Touch = Enum.Parse<Check.Types.Touch>(form["touch"].ToString()), Checker = visit.SignedBy(form), Note = form["note"].ToString() },
            RequestId = form["request"].ToString(),
        });
        return TypedResults.Redirect($"/{name}");
    }

    /// <summary>Asks first: where there is something to know of a step, it is shown, and the step is recorded once a person says so.</summary>
    private static async Task<IResult> StepAsync(string studio, string piece, HttpRequest http, StudioNode node, Visit visit)
    {
        var form = await http.ReadFormAsync();
        var request = new RecordStepRequest
        {
            Parent = $"studios/{studio}/pieces/{piece}",
            Step = new() { Kind = Enum.Parse<Step.Types.Kind>(form["kind"].ToString()), Worker = visit.SignedBy(form), Note = form["note"].ToString() },
            RequestId = form["request"].ToString(),
        };
        if (form["sure"] != "yes")
        {
            var asked = request.Clone();
            asked.ValidateOnly = true;
            var foreseen = await node.Pieces.RecordStepAsync(asked);
            if (foreseen.Cautions.Count > 0)
            {
                var found = await node.Pieces.GetPieceAsync(new() { Name = request.Parent });
                var site = await node.Sites.GetSiteAsync(new() { Name = found.Site });
                return await visit.PageAsync<StepPage>(("Request", request), ("Cautions", foreseen.Cautions), ("Piece", found), ("Zone", TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone)));
            }
        }
        await node.Pieces.RecordStepAsync(request);
        return TypedResults.Redirect($"/{request.Parent}");
    }
}
