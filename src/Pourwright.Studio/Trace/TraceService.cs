using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;

namespace Pourwright.Studio.Trace;

/// <summary>gRPC of traces.proto.</summary>
public sealed class TraceService(StudioReads reads, TimeProvider clock) : V1.TraceService.TraceServiceBase
{
    private static readonly JsonFormatter Json = new(JsonFormatter.Settings.Default.WithIndentation());

    public override Task<PieceTrace> TracePiece(TracePieceRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Piece).ThrowIfAny();
        var now = clock.GetUtcNow();
        return Task.FromResult(Trace.TracePiece.Decide(reads.Read(session => TraceStore.LoadPiece(session, request.Name, now)), now));
    }

    public override Task<LotTrace> TraceLot(TraceLotRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Lot).ThrowIfAny();
        return Task.FromResult(Trace.TraceLot.Decide(reads.Read(session => TraceStore.LoadLot(session, request.Name)), clock.GetUtcNow()));
    }

    public override Task<PieceOrigins> TraceOrigins(TraceOriginsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Piece).ThrowIfAny();
        var origins = reads.Read(session => WalkStore.Origins(session, request.Name));
        return Task.FromResult(new PieceOrigins { Origins = { origins.Select(row => row.ToProto()) } });
    }

    public override async Task TraceReached(TraceReachedRequest request, IServerStreamWriter<ReachedPieces> responseStream, ServerCallContext context)
    {
        new FieldChecks()
            .Require(WalkStore.CanStartFrom(request.Name), "name",
                $"must be a name like {ResourceKind.Lot.Pattern}, {ResourceKind.Container.Pattern} or {ResourceKind.Mix.Pattern}.", request.Name)
            .ThrowIfAny();
        var pieces = GatherReached.Decide(reads.Read(session => WalkStore.ReachedFrom(session, request.Name)));
        foreach (var part in pieces.Chunk(GatherReached.PartMax))
            await responseStream.WriteAsync(new() { Pieces = { part } }, context.CancellationToken);
    }

    public override Task<HttpBody> PrintTrace(PrintTraceRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Require(ResourceKind.Piece.Matches(request.Name) || ResourceKind.Lot.Matches(request.Name), "name",
                $"must be a name like {ResourceKind.Piece.Pattern} or {ResourceKind.Lot.Pattern}.", request.Name)
            .Require(Enum.IsDefined(request.Format), "format", "must be FORMAT_TEXT, FORMAT_JSON or FORMAT_PDF.", $"{request.Format}")
            .ThrowIfAny();
        var (message, report) = ResourceKind.Piece.Matches(request.Name) ? ReportPiece(request.Name) : ReportLot(request.Name);
        return Task.FromResult(request.Format switch
        {
            Format.Json => Body("application/json", ByteString.CopyFromUtf8(Json.Format(message) + "\n")),
            Format.Pdf => Body("application/pdf", ByteString.CopyFrom(ReportPdf.Print(report()))),
            _ => Body("text/plain; charset=utf-8", ByteString.CopyFromUtf8(ReportText.Print(report()))),
        });
    }

    public override Task<HttpBody> DrawCure(DrawCureRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Piece)
            .Require(Enum.IsDefined(request.Format), "format", "must be FORMAT_SVG or FORMAT_PNG.", $"{request.Format}")
            .Require(request.WidthPx is 0 or (>= 400 and <= 4000), "width_px", "must be 400 to 4000; 0 means 1000.", $"{request.WidthPx}")
            .ThrowIfAny();
        var now = clock.GetUtcNow();
        var picture = Trace.DrawCure.Decide(reads.Read(session => TraceStore.LoadPiece(session, request.Name, now)));
        var widthPx = request.WidthPx == 0 ? 1000 : request.WidthPx;
        return Task.FromResult(request.Format == DrawCureRequest.Types.Format.Png
            ? Body("image/png", ByteString.CopyFrom(picture.Png(widthPx)))
            : Body("image/svg+xml", ByteString.CopyFrom(picture.Svg(widthPx))));
    }

    private (IMessage Message, Func<Report> Report) ReportPiece(string name)
    {
        var now = clock.GetUtcNow();
        var (facts, places) = reads.Read(session =>
            (TraceStore.LoadPiece(session, name, now), TraceStore.LoadPlaces(session, ResourceNames.StudioOf(name))));
        var trace = Trace.TracePiece.Decide(facts, now);
        return (trace, () => PieceReport.Write(trace, places, CureCourse.Of(facts)));
    }

    private (IMessage Message, Func<Report> Report) ReportLot(string name)
    {
        var (facts, places) = reads.Read(session =>
            (TraceStore.LoadLot(session, name), TraceStore.LoadPlaces(session, ResourceNames.StudioOf(name))));
        var trace = Trace.TraceLot.Decide(facts, clock.GetUtcNow());
        return (trace, () => LotReport.Write(trace, places));
    }

    private static HttpBody Body(string contentType, ByteString data) => new() { ContentType = contentType, Data = data };
}
