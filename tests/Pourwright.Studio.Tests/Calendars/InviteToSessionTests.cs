using Ical.Net;
using Pourwright.Studio.Calendars;
using static Pourwright.Studio.Tests.Calendars.SampleSessions;

namespace Pourwright.Studio.Tests.Calendars;

public sealed class InviteToSessionTests
{
    private const long NowMs = 1_767_312_000_000;
    private static readonly Correspondent Studio = new("Alder", "office@alder.example");
    private static readonly Correspondent Mia = new("Mia Ola, 3rd", "mia+class@post.example");

    /// <summary>RFC 5546 3.2.2: a REQUEST has one organizer and its attendees.</summary>
    [Fact]
    public void SomeoneWhoTakesPart_IsRequested_ByName()
    {
        var (method, text) = InviteToSession.Write(At("Europe/Berlin", "2026-05-02 09:00"), Studio, Mia, takesPart: true, NowMs);
        var (calendar, unfolded) = (Calendar.Load(text)!, text.Replace("\r\n ", "", StringComparison.Ordinal));

        Assert.Equal(("REQUEST", "REQUEST"), (method, calendar.Method));
        Assert.Contains("ORGANIZER;CN=Alder:mailto:office@alder.example", unfolded, StringComparison.Ordinal);
        Assert.Matches("ATTENDEE;.*CN=\"Mia Ola, 3rd\".*:mailto:mia(\\+|%2B)class@post.example", unfolded);
        Assert.Equal(new(2026, 1, 2, 0, 0, 0, DateTimeKind.Utc), Assert.Single(calendar.Events).DtStamp!.AsUtc);
    }

    /// <summary>RFC 5546 3.2.5: the same UID, a higher SEQUENCE.</summary>
    [Fact]
    public void CancelledSession_IsCancelledUnderItsUid()
    {
        var session = At("Europe/Berlin", "2026-05-02 09:00") with { Sequence = 3 };

        var before = Calendar.Load(InviteToSession.Write(session, Studio, Mia, takesPart: true, NowMs).Text)!.Events[0]!;
        var (method, text) = InviteToSession.Write(session with { IsCancelled = true, Sequence = 4 }, Studio, Mia, takesPart: true, NowMs);
        var after = Calendar.Load(text)!.Events[0]!;

        Assert.Equal(("CANCEL", "CANCELLED", before.Uid), (method, after.Status, after.Uid));
        Assert.True(after.Sequence > before.Sequence);
    }

    [Fact]
    public void SomeoneWhoTakesPartNoMore_IsCancelledAlone()
    {
        var (method, text) = InviteToSession.Write(At("Europe/Berlin", "2026-05-02 09:00"), Studio, Mia, takesPart: false, NowMs);

        Assert.Equal("CANCEL", method);
        Assert.StartsWith("This session is cancelled: you do not take part any more.", Calendar.Load(text)!.Events[0]!.Description, StringComparison.Ordinal);
    }
}
