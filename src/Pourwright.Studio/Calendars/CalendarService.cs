using System.Security.Cryptography;
using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Calendars;

/// <summary>gRPC of calendars.proto.</summary>
public sealed class CalendarService(WriteRequests writes, StudioReads reads, TimeProvider time) : V1.CalendarService.CalendarServiceBase
{
    public override async Task<CalendarLink> CreateCalendarLink(CreateCalendarLinkRequest request, ServerCallContext context)
    {
        OpenCalendarLink.CheckShape(request);
        string? key = null;
        var link = await writes.RunAsync(request, tx =>
        {
            CalendarSubjects.Check(tx, OpenCalendarLink.SubjectOf(request.CalendarLink));
            key = RandomNumberGenerator.GetHexString(Secrets.LinkDigits, lowercase: true);
            var name = ResourceKind.CalendarLink.Under(request.Parent, ResourceKind.CalendarLink.IdOrNew(request.CalendarLinkId));
            var record = OpenCalendarLink.Decide(name, request.CalendarLink, Secrets.Hash(key), tx.Now.ToUnixMs());
            CalendarStore.InsertLink(tx, record);
            return record.ToProto();
        }, context.CancellationToken);
        // Not inside: the answer is kept for a repeat, and the key is kept nowhere.
        if (key is not null) link.FeedPath = CalendarKey.PathOf(key);
        return link;
    }

    public override Task<CalendarLink> GetCalendarLink(GetCalendarLinkRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CalendarLink).ThrowIfAny();
        return Task.FromResult(reads.Read(session => CalendarStore.GetLink(session, request.Name).ToProto()));
    }

    public override Task<ListCalendarLinksResponse> ListCalendarLinks(ListCalendarLinksRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Subject.Length == 0 || CalendarSubjects.IsSubject(request.Subject, request.Parent), "subject",
                "must name a site, an instructor or a student of the studio, or be empty.", request.Subject)
            .ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListCalendarLinks), request.Parent, request.Subject);
        return Task.FromResult(reads.Read(session =>
        {
            Sites.SiteStore.GetStudio(session, request.Parent);
            var (links, next) = page.Cut(CalendarStore.ListLinks(session, request.Parent, request.Subject, page), link => link.Name);
            return new ListCalendarLinksResponse { CalendarLinks = { links.Select(link => link.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<CalendarLink> RevokeCalendarLink(RevokeCalendarLinkRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CalendarLink).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            CalendarStore.Revoke(tx, request.Name, tx.Now.ToUnixMs());
            return CalendarStore.GetLink(tx, request.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<HttpBody> GetSessionInvitation(GetSessionInvitationRequest request, ServerCallContext context)
    {
        InviteToSession.CheckShape(request);
        var facts = reads.Read(session => InvitationStore.Load(session, request));
        var (method, text) = InviteToSession.Decide(facts, time.GetUtcNow().ToUnixMs());
        return Task.FromResult(new HttpBody
        {
            ContentType = $"text/calendar; charset=utf-8; method={method}",
            Data = ByteString.CopyFromUtf8(text),
        });
    }
}
