using System.Text;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Ical.Net.Serialization;
using NodaTime;

namespace Pourwright.Studio.Calendars;

/// <summary>An iCalendar object (RFC 5545) as text: CRLF, lines of up to 75 octets.</summary>
internal static class CalendarText
{
    private const string Product = "-//Pourwright//Class dates//EN";
    private const int LineOctetsMax = 75;

    /// <summary>An object with its method (RFC 5546) and the zones that its times refer to.</summary>
    public static Calendar Begin(string method, IReadOnlyList<SessionTimes> times)
    {
        var calendar = new Calendar { ProductId = Product, Method = method };
        foreach (var zone in times.Where(time => time.Zone is not null).GroupBy(time => time.Zone!.Id).OrderBy(zone => zone.Key, StringComparer.Ordinal))
            calendar.AddTimeZone(ZoneRules.Over(zone.First().Zone!, zone.Min(time => time.Start), zone.Max(time => time.End)));
        // An object without any component is none (RFC 5545 3.6).
        if (times.Count == 0) calendar.AddTimeZone(ZoneRules.Over(DateTimeZone.Utc, default, default));
        return calendar;
    }

    /// <summary>The text.</summary>
    /// <remarks>Folded here once more: the library cuts characters beyond the basic plane in two, and UTF-8 loses both halves.</remarks>
    public static string Write(Calendar calendar) => string.Join("\r\n",
        new CalendarSerializer().SerializeToString(calendar)!.Replace("\r\n ", "", StringComparison.Ordinal).Split("\r\n").Select(Fold));

    private static string Fold(string line)
    {
        var (folded, octets) = (new StringBuilder(line.Length), 0);
        foreach (var rune in line.EnumerateRunes())
        {
            if (octets + rune.Utf8SequenceLength > LineOctetsMax)
            {
                folded.Append("\r\n ");
                octets = 1;
            }
            folded.Append(rune);
            octets += rune.Utf8SequenceLength;
        }
        return folded.ToString();
    }
}
