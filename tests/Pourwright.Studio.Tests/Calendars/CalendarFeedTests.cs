using System.Text;
using System.Text.RegularExpressions;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Pourwright.Studio.Calendars;
using static Pourwright.Studio.Tests.Calendars.SampleSessions;

namespace Pourwright.Studio.Tests.Calendars;

/// <summary>Feeds read back by the library that wrote them; by another one, in the journeys.</summary>
public sealed class CalendarFeedTests
{
    [Fact]
    public void Session_ReadBack_SaysWhatIsRecorded()
    {
        var session = At("Europe/Berlin", "2026-05-02 09:00") with { Sequence = 3, ChangeReason = "The hall is let, we meet a week later." };

        var read = Single(Feed(session));

        Assert.Equal(("Serving trays: pour", "North Hall, Shelf", "CONFIRMED", 3), (read.Summary, read.Location, read.Status, read.Sequence));
        // 09:00 in Berlin in May is UTC+2.
        Assert.Equal(new(2026, 5, 2, 7, 0, 0, DateTimeKind.Utc), read.Start!.AsUtc);
        Assert.Equal(new(2026, 5, 2, 11, 0, 0, DateTimeKind.Utc), read.End!.AsUtc);
        Assert.Equal(new(2026, 1, 1, 0, 0, 0, DateTimeKind.Utc), read.LastModified!.AsUtc);
        Assert.Contains("Changed: The hall is let, we meet a week later.", read.Description, StringComparison.Ordinal);
        Assert.Contains("With Ivo.", read.Description, StringComparison.Ordinal);
        Assert.Contains("Safety data sheets, local code", read.Description, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("pour", "uncured resin irritates")]
    [InlineData("machine", "eye, ear and dust protection")]
    [InlineData("finish", "set themselves on fire")]
    public void EachKind_CarriesItsCaution(string kind, string says) => Assert.Contains(says,
        Single(Feed(At("UTC", "2026-05-02 09:00", $"studios/alder/classes/tray-1/sessions/{kind}"))).Description, StringComparison.Ordinal);

    [Fact]
    public void CancelledSession_StaysAsCancelled_AndTakesNoTime()
    {
        var read = Single(Feed(At("Europe/Berlin", "2026-05-02 09:00") with { IsCancelled = true, Sequence = 4, ChangeReason = "Too few took part." }));

        Assert.Equal(("CANCELLED", "TRANSPARENT", "Cancelled: Serving trays: pour", 4), (read.Status, read.Transparency, read.Summary, read.Sequence));
        Assert.StartsWith("This session is cancelled: Too few took part.", read.Description, StringComparison.Ordinal);
        Assert.DoesNotContain("Wear", read.Description, StringComparison.Ordinal);
    }

    [Fact]
    public void Uid_StaysWhenEverythingElseMoves_AndIsOfOneSessionAlone()
    {
        var before = At("Europe/Berlin", "2026-05-02 09:00");
        var after = At("America/New_York", "2026-06-02 14:00") with { IsCancelled = true, Sequence = 9, SiteTitle = "Pier", ClassTitle = "Trays" };
        var other = At("Europe/Berlin", "2026-05-02 09:00", "studios/alder/classes/tray-2/sessions/pour");

        Assert.Equal(Single(Feed(before)).Uid, Single(Feed(after)).Uid);
        Assert.NotEqual(Single(Feed(before)).Uid, Single(Feed(other)).Uid);
    }

    /// <summary>
    /// 01:30 on 4 November 2007 in New York: by RFC 5545 3.3.5 the first of two, EDT, 05:30 UTC; the second, EST, is 06:30 UTC, and no
    /// local time says so.
    /// </summary>
    [Theory]
    [InlineData("2007-11-04 01:30", 0, "DTSTART:20071104T053000Z", "DTEND:20071104T093000Z")]
    [InlineData("2007-11-04 01:30", 1, "DTSTART:20071104T063000Z", "DTEND:20071104T103000Z")]
    [InlineData("2007-11-03 22:30", 0, "DTSTART:20071104T023000Z", "DTEND:20071104T063000Z")]
    public void LocalTimeShownTwice_IsWrittenInUtc(string localStart, int hoursAfterFirst, string start, string end)
    {
        var first = At("America/New_York", localStart);
        var feed = Feed(first with { StartMs = first.StartMs + hoursAfterFirst * 3_600_000, EndMs = first.EndMs + hoursAfterFirst * 3_600_000 });

        Assert.Contains(start, feed, StringComparison.Ordinal);
        Assert.Contains(end, feed, StringComparison.Ordinal);
        Assert.DoesNotContain("TZID=", feed, StringComparison.Ordinal);
    }

    /// <summary>RFC 5545 3.3.5: 2007-03-11 02:30 in New York, which clocks skip, is 03:30 EDT, 07:30 UTC.</summary>
    [Fact]
    public void LocalTimeThatClocksSkip_IsTheInstantRecorded()
    {
        var feed = Feed(At("America/New_York", "2007-03-11 02:30"));

        Assert.Contains("DTSTART;TZID=America/New_York:20070311T033000", feed, StringComparison.Ordinal);
        Assert.Equal(new(2007, 3, 11, 7, 30, 0, DateTimeKind.Utc), Single(feed).Start!.AsUtc);
    }

    /// <summary>An hour off, as after a country gave up its daylight saving: people were told 09:00.</summary>
    [Fact]
    public void InstantRecordedByOlderZoneData_GivesWayToTheLocalTime()
    {
        var session = At("Europe/Berlin", "2026-05-02 09:00");

        Assert.Equal(Feed(session), Feed(session with { StartMs = session.StartMs + 3_600_000, EndMs = session.EndMs + 3_600_000 }));
    }

    [Theory]
    [InlineData("Europe/Berlin", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10")]
    [InlineData("America/New_York", "FREQ=YEARLY;BYDAY=2SU;BYMONTH=3", "FREQ=YEARLY;BYDAY=1SU;BYMONTH=11")]
    [InlineData("Europe/Dublin", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=3", "FREQ=YEARLY;BYDAY=-1SU;BYMONTH=10")]
    public void ZoneThatFollowsAYearlyRule_IsOneRuleADirection(string zone, string forward, string back)
    {
        // The rules of New York held from 2007 on (Energy Policy Act of 2005); the span begins while those of 2006 last hold.
        var feed = Feed(At(zone, "2007-02-03 09:00"), At(zone, "2009-11-20 09:00", Name.Replace("pour", "machine", StringComparison.Ordinal)));

        Assert.Equal([forward], Rules(feed, "DAYLIGHT"));
        Assert.Equal([back], Rules(feed, "STANDARD"));
    }

    /// <summary>Ireland's winter is UTC, its summer UTC+1, by law the standard time (Standard Time Act 1968, amended 1971).</summary>
    [Fact]
    public void ZoneWhoseExceptionIsTheWinter_HasItsOffsetsRight()
    {
        var feed = Feed(At("Europe/Dublin", "2026-01-10 09:00"));

        Assert.Matches(@"TZNAME:GMT\r\nTZOFFSETFROM:\+0100\r\nTZOFFSETTO:\+0000", feed);
        Assert.Matches(@"TZNAME:IST\r\nTZOFFSETFROM:\+0000\r\nTZOFFSETTO:\+0100", feed);
    }

    [Fact]
    public void ZoneWithoutClockChanges_IsOneObservanceWithoutRule()
    {
        var feed = Feed(At("Asia/Tokyo", "2026-05-02 09:00"));

        Assert.Single(Regex.Matches(feed, "BEGIN:(STANDARD|DAYLIGHT)"));
        Assert.DoesNotContain("RRULE", feed, StringComparison.Ordinal);
    }

    [Fact]
    public void Zones_AreTheOnesThatSessionsName()
    {
        var feed = Feed(At("Europe/Berlin", "2026-05-02 09:00"), At("UTC", "2026-05-03 09:00", Name.Replace("1", "2", StringComparison.Ordinal)));

        Assert.Equal(["Europe/Berlin"], Calendar.Load(feed)!.TimeZones.Select(zone => zone.TzId));
        Assert.Contains("DTSTART:20260503T090000Z", feed, StringComparison.Ordinal);
    }

    [Fact]
    public void Feed_OfTheSameRowsInAnyOrder_IsTheSame()
    {
        var (one, two) = (At("UTC", "2026-05-02 09:00"), At("UTC", "2026-05-02 09:00", Name.Replace("1", "2", StringComparison.Ordinal)));
        Assert.Equal(Feed(one, two), Feed(two, one));
    }

    /// <summary>RFC 5546 3.2.1: an organizer must be there, attendees must not.</summary>
    [Fact]
    public void Feed_IsPublished_WithoutAttendees()
    {
        var feed = Feed(At("UTC", "2026-05-02 09:00"));

        Assert.Equal("PUBLISH", Calendar.Load(feed)!.Method);
        Assert.Contains("ORGANIZER;CN=Alder:mailto:nobody@pourwright.invalid", feed, StringComparison.Ordinal);
        Assert.DoesNotContain("ATTENDEE", feed, StringComparison.Ordinal);
    }

    /// <summary>RFC 5545 3.1: CRLF, up to 75 octets a line; 3.6: at least one component.</summary>
    [Theory]
    [InlineData("Größe, Höhe; \\ und 😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀")]
    [InlineData("x😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀😀")]
    [InlineData("日本語の長い教室の名前日本語の長い教室の名前日本語の長い教室の名前")]
    public void LongNames_AreFoldedBetweenCharacters_AndComeBackWhole(string title)
    {
        var octets = Encoding.UTF8.GetBytes(Feed(At("Europe/Berlin", "2026-05-02 09:00") with { ClassTitle = title }));

        var text = new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(octets);
        Assert.All(text.Split("\r\n"), line => Assert.True(Encoding.UTF8.GetByteCount(line) <= 75 && !line.Contains('\n', StringComparison.Ordinal), line));
        Assert.Equal($"{title}: pour", Single(text).Summary);
    }

    [Fact]
    public void EmptyFeed_IsAnObjectAllTheSame() => Assert.Single(Calendar.Load(Feed())!.TimeZones);

    private static CalendarEvent Single(string feed) => Assert.Single(Calendar.Load(feed)!.Events);

    private static IEnumerable<string> Rules(string feed, string observance) =>
        Regex.Matches(feed, $@"BEGIN:{observance}\r\n(?:.*\r\n)*?END:{observance}").Select(match => Regex.Match(match.Value, "RRULE:(.*)\r").Groups[1].Value);
}
