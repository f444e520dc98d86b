using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Pourwright.Pages.Serving;
using Pourwright.V1;

namespace Pourwright.Pages.Classes;

/// <summary>What the students of a class said of their health: shown to who may read it, after a tap, and on no sheet.</summary>
/// <remarks>It is asked for by POST: no link, preview, reload or way back reads it again, and no cache keeps it. The API decides who reads, and puts a denied reading on record.</remarks>
public static class HealthPages
{
    /// <summary>How long it stays on a screen that somebody walked away from. Common practice, no source.</summary>
    private const int ShownSeconds = 60;

    public static void MapHealth(this IEndpointRouteBuilder endpoints) => endpoints.MapPost("/studios/{studio}/classes/{castingClass}/health", ShowAsync);

    /// <summary>Whether it is worth asking: the role reads notes, and it is the day of a session, or the owner who asks.</summary>
    public static bool IsOffered(Role role, CastingClass castingClass, DateTimeOffset now) => role == Role.Owner
        || (role is Role.Instructor or Role.Lead && Moves.Held(castingClass).Any(session => Moves.Of(session).Date == Today(session, now)));

    private static DateOnly Today(Session session, DateTimeOffset now) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, TimeZoneInfo.FindSystemTimeZoneById(session.TimeZone)).DateTime);

    private static async Task<IResult> ShowAsync(string studio, string castingClass, HttpContext context, StudioNode node, Visit visit)
    {
        var name = $"studios/{studio}/classes/{castingClass}";
        var found = await node.Classes.GetCastingClassAsync(new() { Name = name });
        var enrolments = await Serving.Lists.AllAsync<Enrolment>(async token =>
        {
            var page = await node.Students.ListEnrolmentsAsync(new() { Parent = name, PageSize = Serving.Lists.PageSize, PageToken = token });
            return (page.Enrolments, page.NextPageToken);
        });
        List<(string Who, string Note)> notes = [];
        foreach (var seat in enrolments.Where(enrolment => enrolment.State == Enrolment.Types.State.Enrolled))
            if ((await node.Privacy.GetHealthNoteAsync(new() { Student = seat.Student })).Note is { Length: > 0 } note)
                notes.Add((seat.StudentDisplayName, note));
        var page = await visit.PageAsync<HealthPage>(("Class", found), ("Notes", notes));
        context.Response.Headers.CacheControl = "no-store";
        context.Response.Headers["Refresh"] = $"{ShownSeconds}; url=/{name}";
        return page;
    }
}
