using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.StudentLinks;

/// <summary>gRPC of student_links.proto, for the house.</summary>
public sealed class StudentLinkService(WriteRequests writes, StudioReads reads, KeyRing keys, StudentOptions options) : V1.StudentLinkService.StudentLinkServiceBase
{
    /// <summary>Where the page stands that a link opens. What follows `#` a browser sends to nobody, so that no log and no proxy reads it.</summary>
    private const string Page = "/mine#";

    public override async Task<StudentLink> CreateStudentLink(CreateStudentLinkRequest request, ServerCallContext context)
    {
        MakeStudentLink.CheckShape(request);
        string? secret = null;
        var link = await writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            var grounds = StudentLinkStore.LoadGrounds(tx, request.StudentLink);
            secret = AccessKeyStore.NewSecret(Secrets.StudentPrefix);
            var name = ResourceKind.StudentLink.Under(request.Parent, ResourceKind.StudentLink.IdOrNew(request.StudentLinkId));
            StudentLinkStore.Insert(tx, MakeStudentLink.Decide(name, request.StudentLink, grounds, Secrets.Hash(secret), tx.Now.ToUnixMs(), options));
            return View(tx, name);
        }, context.CancellationToken);
        // Not inside: the answer is kept for a repeat, and the secret is kept nowhere.
        if (secret is not null) link.PagePath = Page + secret;
        return link;
    }

    public override Task<StudentLink> GetStudentLink(GetStudentLinkRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.StudentLink).ThrowIfAny();
        return Task.FromResult(reads.Read(session => View(session, request.Name)));
    }

    public override Task<ListStudentLinksResponse> ListStudentLinks(ListStudentLinksRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListStudentLinks), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (links, next) = page.Cut(StudentLinkStore.List(session, request.Parent, page), link => link.Name);
            return new ListStudentLinksResponse { StudentLinks = { links.Select(link => link.ToProto()) }, NextPageToken = next };
        }));
    }

    public override async Task<StudentLink> RevokeStudentLink(RevokeStudentLinkRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.StudentLink).ThrowIfAny();
        byte[]? sha256 = null;
        var link = await writes.RunAsync(request, tx =>
        {
            StudentLinkStore.Revoke(tx, request.Name, tx.Now.ToUnixMs());
            var revoked = StudentLinkStore.Get(tx, request.Name);
            sha256 = revoked.LinkSha256;
            return revoked.ToProto();
        }, context.CancellationToken);
        if (sha256 is not null) keys.Forget(sha256);
        return link;
    }

    private static StudentLink View(StudioSession session, string name)
    {
        var record = StudentLinkStore.Get(session, name);
        var link = record.ToProto();
        if (record.Enrolment is { } enrolment)
        {
            var place = Classes.Enrolments.StudentStore.GetEnrolment(session, enrolment);
            link.Cautions.Add(OwnPieces.Cautions(place, StudentLinkStore.Places(session, place)));
        }
        return link;
    }
}
