using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>gRPC of student_links.proto, for students.</summary>
public sealed class OwnPageService(StudioReads reads, TimeProvider clock) : V1.OwnPageService.OwnPageServiceBase
{
    /// <summary>Which link it is, its key says; the request says nothing.</summary>
    public override Task<OwnPage> GetOwnPage(GetOwnPageRequest request, ServerCallContext context)
    {
        var (link, now) = (Caller.Of(context.GetHttpContext())!.Key, clock.GetUtcNow());
        return Task.FromResult(DescribeOwnPage.Of(reads.Read(session => StudentLinkStore.LoadPage(session, link, now)), now));
    }
}
