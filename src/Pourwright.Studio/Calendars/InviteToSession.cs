using Ical.Net.DataTypes;

namespace Pourwright.Studio.Calendars;

/// <summary>Someone with an address; the address is an e-mail address.</summary>
public sealed record Correspondent(string DisplayName, string Email)
{
    internal Uri Address => new($"mailto:{Uri.EscapeDataString(Email).Replace("%40", "@", StringComparison.Ordinal)}");
}

/// <summary>An iTIP object (RFC 5546) and its method: REQUEST or CANCEL.</summary>
public sealed record Invitation(string Method, string Text);

/// <summary>A session for one person to take into a calendar by mail. It names that person and no other.</summary>
public static class InviteToSession
{
    /// <param name="session">The session.</param>
    /// <param name="organizer">Who sends it, and is answered.</param>
    /// <param name="person">Who is asked.</param>
    /// <param name="takesPart">Whether they still teach it or have a seat: else it is cancelled for them alone.</param>
    /// <param name="nowMs">DTSTAMP: tells apart two objects of one SEQUENCE (RFC 5546 2.1.5).</param>
    public static Invitation Write(CalendarSession session, Correspondent organizer, Correspondent person, bool takesPart, long nowMs)
    {
        var told = takesPart ? session : session with { IsCancelled = true, ChangeReason = "you do not take part any more." };
        var (times, method) = (SessionTimes.Of(told), told.IsCancelled ? "CANCEL" : "REQUEST");
        var calendar = CalendarText.Begin(method, [times]);
        var sender = new Organizer { CommonName = organizer.DisplayName, Value = organizer.Address };
        var invitation = SessionEvent.Of(told, times, sender, nowMs);
        invitation.Attendees.Add(new Attendee(person.Address)
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
