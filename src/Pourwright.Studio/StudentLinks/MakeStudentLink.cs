using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using ScopeCase = Pourwright.V1.StudentLink.ScopeOneofCase;

namespace Pourwright.Studio.StudentLinks;

/// <summary>What a new link rests on.</summary>
/// <param name="Enrolment">The place it is for; null for a piece.</param>
/// <param name="LastMs">The end of the last session, or of the days asked for; null where no day is set.</param>
internal sealed record LinkGrounds(EnrolmentRecord? Enrolment, long? LastMs);

/// <summary>A link for one student, for as long as their piece and their class are of interest.</summary>
internal static class MakeStudentLink
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CreateStudentLinkRequest request)
    {
        var link = request.StudentLink ?? new();
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("student_link_id", request.StudentLinkId)
            .OptionalTime("student_link.expire_time", link.ExpireTime);
        if (link.Student.Length > 0) checks.Name("student_link.student", link.Student, ResourceKind.Student, request.Parent);
        if (link.ScopeCase == ScopeCase.Enrolment) checks.Name("student_link.enrolment", link.Enrolment, ResourceKind.Enrolment, request.Parent);
        else if (link.ScopeCase == ScopeCase.Piece) checks.Name("student_link.piece", link.Piece, ResourceKind.Piece, request.Parent);
        else checks.Require(false, "student_link", "must name a place in a class or a piece.");
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">ENROLMENT_STATE where the place was given up; FIELD_INVALID where the link would be shut from the start, or names another student than its place.</exception>
    public static StudentLinkRecord Decide(string name, StudentLink link, LinkGrounds grounds, byte[] linkSha256, long nowMs, StudentOptions options)
    {
        if (grounds.Enrolment is { } place) Check(place, link);
        if (link.ExpireTime.ToUnixMsOrNull() is { } endMs && endMs <= nowMs)
            throw Refusal.Invalid("student_link.expire_time", Instants.Utc(endMs), "must lie ahead. Leave it empty for some weeks after the last session.");
        var student = grounds.Enrolment?.Student ?? link.Student;
        return new()
        {
            Name = name,
            Studio = ResourceNames.StudioOf(name),
            Enrolment = grounds.Enrolment?.Name,
            Piece = grounds.Enrolment is null ? link.Piece : null,
            Student = student.Length > 0 ? student : null,
            LinkSha256 = linkSha256,
            CreateMs = nowMs,
            ExpireMs = link.ExpireTime.ToUnixMsOrNull() ?? Math.Max(nowMs, grounds.LastMs ?? nowMs) + options.LinkDaysAfterLastSession * 86_400_000L,
        };
    }

    private static void Check(EnrolmentRecord place, StudentLink link)
    {
        if (link.Student.Length > 0 && link.Student != place.Student)
            throw Refusal.Invalid("student_link.student", link.Student, "must be the student of the place, or be empty.");
        if (!place.IsLive)
            throw Refusal.Precondition(Reasons.EnrolmentState,
                $"The place '{place.Name}' is {place.State}: there is nothing of it to show. Make a link for a piece where one was poured.",
                ("enrolment", place.Name), ("state", $"{place.State}"));
    }
}
