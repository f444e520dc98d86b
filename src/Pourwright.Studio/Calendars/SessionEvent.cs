using System.Security.Cryptography;
using System.Text;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Calendars;

/// <summary>A session as a VEVENT. One each, never a rule that repeats: every one of them may move by itself.</summary>
internal static class SessionEvent
{
    /// <param name="session">The session.</param>
    /// <param name="times">Its times.</param>
    /// <param name="organizer">Whose event it is.</param>
    /// <param name="stampMs">DTSTAMP: when this description was made.</param>
    public static CalendarEvent Of(CalendarSession session, SessionTimes times, Organizer organizer, long stampMs) => new()
    {
        Uid = Uid(session.Name),
        Sequence = session.Sequence,
        Status = session.IsCancelled ? EventStatus.Cancelled : EventStatus.Confirmed,
        Transparency = session.IsCancelled ? TransparencyType.Transparent : TransparencyType.Opaque,
        Start = times.CalendarStart,
        End = times.CalendarEnd,
        DtStamp = Utc(stampMs),
        LastModified = Utc(session.ChangeMs),
        Organizer = organizer,
        Summary = SessionWords.Summary(session),
        Location = SessionWords.Location(session),
        Description = SessionWords.Description(session),
    };

    /// <summary>A UUID made of the name alone (version 8, RFC 9562 5.8): the same for whoever reads it, whenever and wherever the session is.</summary>
    public static string Uid(string sessionName)
    {
        var bytes = SHA256.HashData(Encoding.UTF8.GetBytes(sessionName))[..16];
        bytes[6] = (byte)((bytes[6] & 0x0F) | 0x80);
        bytes[8] = (byte)((bytes[8] & 0x3F) | 0x80);
        return new Guid(bytes, bigEndian: true).ToString();
    }

    private static CalDateTime Utc(long ms) => new(Instants.FromUnixMs(ms).UtcDateTime, hasTime: true);
}
