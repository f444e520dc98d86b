using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Recalls;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Suspects;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;

namespace Pourwright.Studio.Reports;

/// <summary>gRPC of reports.proto. It only reads.</summary>
public sealed class ReportService(StudioReads reads, FindSuspects suspects, TimeProvider clock) : V1.ReportService.ReportServiceBase
{
    private static readonly JsonFormatter Json = new(JsonFormatter.Settings.Default.WithIndentation());

    public override Task<HttpBody> PrintDefect(PrintDefectRequest request, ServerCallContext context)
    {
        CheckFormat(new FieldChecks().Name("name", request.Name, ResourceKind.Defect), request.Format).ThrowIfAny();
        var now = clock.GetUtcNow();
        var about = suspects.OfDefect(request.Name);
        var lines = DefectLines.Decide(about);
        var (shared, reached, places) = reads.Read(session => Reached(session, about, lines));
        var report = WriteDefect.Decide(about, lines, shared, reached, now);
        var (trace, course) = (TracePiece.Decide(about.Trace, now), CureCourse.Of(about.Trace));
        return Task.FromResult(Print(request.Format, report, PageDetail.Versions.Select(detail => DefectPage.Write(report, trace, places, course, detail))));
    }

    public override Task<HttpBody> PrintSeason(PrintSeasonRequest request, ServerCallContext context)
    {
        CheckFormat(new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Time("start_time", request.StartTime)
            .OptionalTime("end_time", request.EndTime)
            .Require(request.EndTime is null || request.StartTime is null || request.StartTime < request.EndTime, "end_time", "must be later than start_time.", $"{request.EndTime}"),
            request.Format).ThrowIfAny();
        var now = clock.GetUtcNow();
        var scope = new SuspectScope(request.Parent, [], request.StartTime.ToUnixMsOrNull() ?? 0, request.EndTime.ToUnixMsOrNull() ?? now.ToUnixMs() + 1);
        var (records, recalls, places) = reads.Read(session =>
        {
            SiteStore.GetStudio(session, scope.Studio);
            return (SuspectStore.LoadInspections(session, scope),
                RecallStore.Open(session, scope.Studio).Select(recall => (recall, RecallStore.Notices(session, recall.Name))).ToList(),
                TraceStore.LoadPlaces(session, scope.Studio));
        });
        var findings = SummarizeSeason.Seen(records).Select(group => (group.Title, suspects.Rank(scope, group.Kinds))).ToList();
        var season = SummarizeSeason.Decide(records, findings, recalls, now);
        return Task.FromResult(Print(request.Format, season, SeasonDetail.Versions.Select(detail => SeasonPage.Write(season, places, detail))));
    }

    private static (IReadOnlyList<string> Shared, RecallList Reached, TracePlaces Places) Reached(
        StudioSession session, DefectCase about, IReadOnlyList<DefectReport.Types.Line> lines)
    {
        var places = TraceStore.LoadPlaces(session, about.Defect.Studio);
        IReadOnlyList<string> shared = WriteDefect.SharedSuspect(lines) is { } suspect ? [suspect] : ReachStore.Ancestry(session, about.Defect.Piece).Mixes;
        var reach = ResourceKind.Mix.Matches(shared[0]) ? ReachStore.OfMixes(session, shared) : ReachStore.Load(session, new(shared[0]));
        return (shared, ListRecall.Decide(reach, places), places);
    }

    private static FieldChecks CheckFormat(FieldChecks checks, Format format) =>
        checks.Require(Enum.IsDefined(format), "format", "must be FORMAT_TEXT, FORMAT_JSON or FORMAT_PDF.", $"{format}");

    /// <param name="format">What comes back.</param>
    /// <param name="message">For JSON.</param>
    /// <param name="versions">The longest first; a page of paper takes the first that fits.</param>
    private static HttpBody Print(Format format, IMessage message, IEnumerable<Report> versions) => format switch
    {
        Format.Json => Body("application/json", ByteString.CopyFromUtf8(Json.Format(message) + "\n")),
        Format.Pdf => Body("application/pdf", ByteString.CopyFrom(ReportPdf.PrintOnePage(versions))),
        _ => Body("text/plain; charset=utf-8", ByteString.CopyFromUtf8(ReportText.Print(versions.First()))),
    };

    private static HttpBody Body(string contentType, ByteString data) => new() { ContentType = contentType, Data = data };
}
