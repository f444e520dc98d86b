using Ical.Net.DataTypes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using RecipientCase = Pourwright.V1.GetSessionInvitationRequest.RecipientOneofCase;

namespace Pourwright.Studio.Calendars;

/// <summary>Someone of a mail.</summary>
/// <param name="Name">Resource name of the person, or of the site that writes.</param>
/// <param name="DisplayName">What people read.</param>
/// <param name="Email">Empty where there is none.</param>
public sealed record Correspondent(string Name, string DisplayName, string Email)
{
    /// <summary>Where a mail goes; null where there is no address, or one from before hosts were looked at that has none.</summary>
    internal Uri? Address => EmailAddress.FindUri(Email);
}

/// <summary>Whether someone takes part in a session.</summary>
public enum Participation
{
    Never,
    NoMore,
    Now,
}

/// <summary>Whom an invitation is for.</summary>
public sealed record Recipient(Correspondent Person, bool AgreesToMessages, Participation Participation);

/// <summary>All that an invitation depends on.</summary>
public sealed record InvitationFacts(CalendarSession Session, Correspondent Organizer, Recipient Recipient);

/// <summary>An iTIP object (RFC 5546) and its method: REQUEST or CANCEL.</summary>
public sealed record Invitation(string Method, string Text);

/// <summary>A session for one person to take into a calendar by mail. It names that person and no other.</summary>
public static class InviteToSession
{
    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(GetSessionInvitationRequest request)
    {
        var checks = new FieldChecks().Name("name", request.Name, ResourceKind.Session);
        var studio = ResourceKind.Session.Matches(request.Name) ? ResourceNames.StudioOf(request.Name) : null;
        if (request.RecipientCase == RecipientCase.Instructor) checks.Name("instructor", request.Instructor, ResourceKind.Instructor, studio);
        else if (request.RecipientCase == RecipientCase.Student) checks.Name("student", request.Student, ResourceKind.Student, studio);
        else checks.Require(false, "student", "must be set, or instructor.");
        checks.ThrowIfAny();
    }

    /// <summary>What all enrolments of a student in one class come to.</summary>
    public static Participation ParticipationOf(IReadOnlyList<Enrolment.Types.State> states) =>
        states.Contains(Enrolment.Types.State.Enrolled) ? Participation.Now
        : states.Contains(Enrolment.Types.State.Withdrawn) ? Participation.NoMore
        : Participation.Never;

    /// <summary>A request, or that it is off: for all, or for this person alone.</summary>
    /// <param name="facts">What is known.</param>
    /// <param name="nowMs">DTSTAMP: tells apart two objects of one SEQUENCE (RFC 5546 2.1.5).</param>
    /// <exception cref="Refusal">EMAIL_MISSING, CONSENT_MISSING, NOT_TAKING_PART.</exception>
    public static Invitation Decide(InvitationFacts facts, long nowMs)
    {
        var (session, organizer, recipient) = facts;
        Check(session, organizer, recipient);
        var told = recipient.Participation == Participation.Now
            ? session
            : session with { IsCancelled = true, ChangeReason = "you do not take part any more." };
        return Write(told, told.IsCancelled ? "CANCEL" : "REQUEST", organizer, recipient.Person, nowMs);
    }

    private static void Check(CalendarSession session, Correspondent organizer, Recipient recipient)
    {
        var name = recipient.Person.Name;
        if (recipient.Participation == Participation.Never)
            throw Refusal.Precondition(Reasons.NotTakingPart, $"'{name}' never had a seat in the class of '{session.Name}'. Enrol the student first.",
                ("recipient", name), ("session", session.Name));
        if (!recipient.AgreesToMessages)
            throw Refusal.Precondition(Reasons.ConsentMissing, $"'{name}' did not agree to messages. Ask the student, and record the consent.",
                ("recipient", name));
        foreach (var someone in new[] { recipient.Person, organizer }.Where(someone => someone.Address is null))
            throw Refusal.Precondition(Reasons.EmailMissing, $"'{someone.Name}' has no e-mail address: the mail has nowhere to go, or nobody to answer. Record one.",
                ("name", someone.Name));
    }

    /// <summary>No answer is asked for: a seat is taken and given back with the studio.</summary>
    private static Invitation Write(CalendarSession session, string method, Correspondent organizer, Correspondent person, long nowMs)
    {
        var times = SessionTimes.Of(session);
        var calendar = CalendarText.Begin(method, [times]);
        var invitation = SessionEvent.Of(session, times, new Organizer { CommonName = organizer.DisplayName, Value = organizer.Address }, nowMs);
        invitation.Attendees.Add(new Attendee(person.Address!)
        {
            CommonName = person.DisplayName,
            Role = "REQ-PARTICIPANT",
            ParticipationStatus = "NEEDS-ACTION",
            Rsvp = false,
        });
        calendar.Events.Add(invitation);
        return new(method, CalendarText.Write(calendar));
    }
}
