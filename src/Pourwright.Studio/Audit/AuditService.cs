using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>gRPC of audit.proto.</summary>
public sealed class AuditService(StudioReads reads) : V1.AuditService.AuditServiceBase
{
    private const int MethodLengthMax = 60, NameLengthMax = 400;

    public override Task<ListAuditEntriesResponse> ListAuditEntries(ListAuditEntriesRequest request, ServerCallContext context)
    {
        CheckShape(request);
        var page = Paging.Read(
            request.PageSize, request.PageToken, nameof(ListAuditEntries), request.Parent, request.AccessKey, request.Method, request.Subject,
            $"{request.StartTime.ToUnixMsOrNull()}", $"{request.EndTime.ToUnixMsOrNull()}", $"{request.DeniedOnly}");
        return Task.FromResult(reads.Read(session =>
        {
            if (!AccessKeyStore.HasStudio(session, request.Parent)) throw ResourceKind.Studio.NotFound(request.Parent);
            var (entries, next) = page.Cut(AuditStore.List(session, request, page), entry => entry.Sequence);
            return new ListAuditEntriesResponse { AuditEntries = { entries.Select(entry => entry.ToProto()) }, NextPageToken = next };
        }));
    }

    private static void CheckShape(ListAuditEntriesRequest request)
    {
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Text("access_key", request.AccessKey, NameLengthMax, lengthMin: 0)
            .Text("method", request.Method, MethodLengthMax, lengthMin: 0)
            .Require(request.Subject.Length == 0 || ResourceKind.All.Any(kind => kind.Matches(request.Subject)), "subject", "must be the name of a thing, or be empty.")
            .OptionalTime("start_time", request.StartTime)
            .OptionalTime("end_time", request.EndTime)
            .ThrowIfAny();
    }
}
