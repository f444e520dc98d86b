using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using SubjectCase = Pourwright.V1.CalendarLink.SubjectOneofCase;

namespace Pourwright.Studio.Calendars;

/// <summary>A link to one feed, for as long as it is wanted.</summary>
internal static class OpenCalendarLink
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CreateCalendarLinkRequest request)
    {
        var link = request.CalendarLink ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("calendar_link_id", request.CalendarLinkId)
            .Text("calendar_link.display_name", link.DisplayName, 80, lengthMin: 0)
            .OptionalTime("calendar_link.expire_time", link.ExpireTime);
        if (link.SubjectCase == SubjectCase.Site) checks.Name("calendar_link.site", link.Site, ResourceKind.Site, request.Parent);
        else if (link.SubjectCase == SubjectCase.Instructor) checks.Name("calendar_link.instructor", link.Instructor, ResourceKind.Instructor, request.Parent);
        else if (link.SubjectCase == SubjectCase.Student) checks.Name("calendar_link.student", link.Student, ResourceKind.Student, request.Parent);
        else checks.Require(false, "calendar_link", "must name a site, an instructor or a student.");
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">FIELD_INVALID where it would be shut from the start.</exception>
    public static CalendarLinkRecord Decide(string name, CalendarLink link, byte[] keySha256, long nowMs)
    {
        if (link.ExpireTime.ToUnixMsOrNull() is { } expireMs && expireMs <= nowMs)
            throw Refusal.Invalid("calendar_link.expire_time", Instants.Utc(expireMs), "must lie ahead. Leave it empty for a link that stays until it is revoked.");
        return new()
        {
            Name = name,
            Studio = ResourceNames.StudioOf(name),
            Subject = SubjectOf(link),
            DisplayName = link.DisplayName,
            KeySha256 = keySha256,
            CreateMs = nowMs,
            ExpireMs = link.ExpireTime.ToUnixMsOrNull(),
        };
    }

    public static string SubjectOf(CalendarLink link) => link.SubjectCase switch
    {
        SubjectCase.Site => link.Site,
        SubjectCase.Instructor => link.Instructor,
        _ => link.Student,
    };
}
