using Ical.Net;
using Ical.Net.DataTypes;

namespace Pourwright.Studio.Calendars;

/// <summary>A feed to subscribe to: every session an event, cancelled ones among them.</summary>
public static class CalendarFeed
{
    /// <summary>How often a client may look again. Common practice, no source.</summary>
    private const string RefreshInterval = "PT1H";

    /// <summary>RFC 5546 3.2.1 wants an organizer in what is published; nobody's address is shown to whoever holds a link (RFC 2606: no such host).</summary>
    private static readonly Uri NoAddress = new("mailto:nobody@pourwright.invalid");

    /// <summary>The feed's text; the same for the same rows, whenever it is written.</summary>
    /// <remarks>DTSTAMP is that of the last change, not of the call: a client that asks again is told that nothing is new.</remarks>
    public static string Write(string studioTitle, string feedTitle, IReadOnlyList<CalendarSession> sessions)
    {
        var all = sessions.OrderBy(session => session.StartMs).ThenBy(session => session.Name, StringComparer.Ordinal)
            .Select(session => (Session: session, Times: SessionTimes.Of(session))).ToList();
        var calendar = CalendarText.Begin("PUBLISH", [.. all.Select(one => one.Times)]);
        AddName(calendar, feedTitle);
        var organizer = new Organizer { CommonName = studioTitle, Value = NoAddress };
        foreach (var (session, times) in all)
            calendar.Events.Add(SessionEvent.Of(session, times, organizer, session.ChangeMs));
        return CalendarText.Write(calendar);
    }

    /// <summary>RFC 7986 5.1 and 5.7, and the older name that clients know.</summary>
    private static void AddName(Calendar calendar, string title)
    {
        calendar.Properties.Add(new CalendarProperty("NAME", title));
        calendar.Properties.Add(new CalendarProperty("X-WR-CALNAME", title));
        var refresh = new CalendarProperty("REFRESH-INTERVAL", RefreshInterval);
        refresh.AddParameter("VALUE", "DURATION");
        calendar.Properties.Add(refresh);
    }
}
