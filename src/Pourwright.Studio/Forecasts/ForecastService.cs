using System.Globalization;
using Grpc.Core;
using Microsoft.Extensions.Hosting;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts;

/// <summary>gRPC of forecasts.proto.</summary>
public sealed class ForecastService(StudioReads reads, CommitSignal commits, TimeProvider clock, IHostApplicationLifetime lifetime)
    : V1.ForecastService.ForecastServiceBase
{
    private const string LatestId = "latest";

    /// <summary>A watch looks without a commit: another process may have committed, and time alone opens gates. Common practice, no source.</summary>
    private static readonly TimeSpan WatchPauseMax = TimeSpan.FromSeconds(1);

    /// <summary>And not more often than this, however many commits come. It spares the machine, so it is real time, whatever the studio's clock says.</summary>
    private static readonly TimeSpan WatchPauseMin = TimeSpan.FromMilliseconds(50);

    public override Task<Forecast> GetForecast(GetForecastRequest request, ServerCallContext context)
    {
        var (piece, revision) = Parse(request.Name);
        var found = reads.Read(session => revision is { } one ? ForecastStore.Find(session, piece, one) : ForecastStore.Latest(session, piece));
        return Task.FromResult(found?.ToProto(withCourse: true) ?? throw ResourceKind.Forecast.NotFound(request.Name));
    }

    public override Task<ListForecastsResponse> ListForecasts(ListForecastsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Piece).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListForecasts), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            PieceStore.GetPiece(session, request.Parent);
            var (forecasts, next) = page.Cut(ForecastStore.ListForecasts(session, request.Parent, page), forecast => forecast.Revision);
            return new ListForecastsResponse
            {
                Forecasts = { forecasts.Select(forecast => forecast.ToProto(withCourse: false)) },
                NextPageToken = next,
            };
        }));
    }

    public override Task<PieceReadiness> GetReadiness(GetReadinessRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Piece).ThrowIfAny();
        return Task.FromResult(reads.Read(session => Readiness.Of(session, PieceStore.GetPiece(session, request.Name), clock.GetUtcNow())));
    }

    public override async Task WatchReadiness(
        WatchReadinessRequest request, IServerStreamWriter<PieceReadiness> responseStream, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
        reads.Read(session => SiteStore.GetStudio(session, request.Parent));
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(context.CancellationToken, lifetime.ApplicationStopping);
        await WatchAsync(request, responseStream, ending.Token);
    }

    private async Task WatchAsync(WatchReadinessRequest request, IServerStreamWriter<PieceReadiness> stream, CancellationToken ct)
    {
        Dictionary<string, PieceReadiness> told = [];
        while (!ct.IsCancellationRequested)
        {
            // Both begin before the look: what happens during it ends the wait after it.
            using var look = CancellationTokenSource.CreateLinkedTokenSource(ct);
            var (commit, pause) = (commits.NextAsync(look.Token), Task.Delay(WatchPauseMax, clock, look.Token));
            var seen = reads.Read(session => Curing(session, request));
            foreach (var readiness in seen.Where(now => !told.TryGetValue(now.Piece, out var before) || !Readiness.IsSame(before, now)))
                await stream.WriteAsync(readiness, ct);
            told = seen.ToDictionary(readiness => readiness.Piece);
            await Task.Delay(WatchPauseMin, ct).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            await Task.WhenAny(commit, pause);
            await look.CancelAsync();
        }
    }

    private List<PieceReadiness> Curing(StudioSession session, WatchReadinessRequest request)
    {
        var now = clock.GetUtcNow();
        return [.. PieceStore.GetCuringPieces(session, request.Parent, request.Site.Length > 0 ? request.Site : null)
            .Select(piece => Readiness.Of(session, piece, now))];
    }

    private static (string Piece, long? Revision) Parse(string name)
    {
        var (piece, id) = (ResourceNames.ParentOf(name), ResourceNames.IdOf(name));
        long? revision = long.TryParse(id, NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;
        new FieldChecks()
            .Require(
                ResourceKind.Piece.Matches(piece) && name == $"{piece}/forecasts/{id}" && (id == LatestId || revision > 0),
                "name", $"must be a name like {ResourceKind.Forecast.Pattern}, the last part a number from 1, or {LatestId}.", name)
            .ThrowIfAny();
        return (piece, revision);
    }
}
