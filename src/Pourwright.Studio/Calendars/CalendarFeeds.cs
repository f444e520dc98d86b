using System.Security.Cryptography;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Microsoft.Net.Http.Headers;
using Pourwright.Studio.Access;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Calendars;

/// <summary>Feeds over HTTP, for programs that know of calendars and nothing else.</summary>
public static class CalendarFeeds
{
    private const string ContentType = "text/calendar; charset=utf-8";

    /// <summary>How long what is over stays in a feed. Common practice, no source.</summary>
    private static readonly TimeSpan Kept = TimeSpan.FromDays(90);

    /// <summary>`/calendars/{key}.ics`. A key that is unknown, revoked or expired is answered alike: not found.</summary>
    public static void MapCalendarFeeds(this IEndpointRouteBuilder endpoints) =>
        endpoints.MapMethods("/calendars/{key}.ics", [HttpMethods.Get, HttpMethods.Head], Answer);

    private static Results<FileContentHttpResult, NotFound> Answer(string key, StudioReads reads, TimeProvider time, HttpContext context)
    {
        if (reads.Read(session => Find(session, key, time.GetUtcNow())) is not { } feed) return TypedResults.NotFound();
        // A shared cache between keeps nothing, and whoever keeps it asks each time: a link is shut at once.
        context.Response.Headers.CacheControl = "private, no-cache";
        var octets = Encoding.UTF8.GetBytes(feed);
        return TypedResults.Bytes(octets, ContentType, entityTag: new EntityTagHeaderValue($"\"{Convert.ToHexStringLower(SHA256.HashData(octets))}\""));
    }

    private static string? Find(StudioSession session, string key, DateTimeOffset now)
    {
        if (CalendarStore.FindLinkByKey(session, Secrets.Hash(key)) is not { } link || !link.IsOpen(now.ToUnixMs())) return null;
        var studio = Sites.SiteStore.GetStudio(session, link.Studio).DisplayName;
        var sessions = CalendarStore.GetSessions(session, link.Subject, (now - Kept).ToUnixMs());
        return CalendarFeed.Write(studio, CalendarSubjects.TitleOf(session, studio, link.Subject), sessions);
    }
}
