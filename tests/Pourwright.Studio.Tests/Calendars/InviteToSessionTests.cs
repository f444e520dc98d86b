using Ical.Net;
using Pourwright.Studio.Calendars;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using static Pourwright.Studio.Tests.Calendars.SampleSessions;

namespace Pourwright.Studio.Tests.Calendars;

public sealed class InviteToSessionTests
{
    private const long NowMs = 1_767_312_000_000;

    private static readonly InvitationFacts Facts = new(
        At("Europe/Berlin", "2026-05-02 09:00") with { Sequence = 3 },
        new("studios/alder/sites/north", "Alder", "office@alder.example"),
        new(new("studios/alder/students/mia", "Mia Ola, 3rd", "Mia <mia+class@post.example>"), AgreesToMessages: true, Participation.Now));

    /// <summary>RFC 5546 3.2.2: a REQUEST has one organizer and its attendees.</summary>
    [Fact]
    public void SomeoneWhoTakesPart_IsRequested_ByName()
    {
        var (method, text) = InviteToSession.Decide(Facts, NowMs);
        var (calendar, unfolded) = (Calendar.Load(text)!, text.Replace("\r\n ", "", StringComparison.Ordinal));

        Assert.Equal(("REQUEST", "REQUEST"), (method, calendar.Method));
        Assert.Contains("ORGANIZER;CN=Alder:mailto:office@alder.example", unfolded, StringComparison.Ordinal);
        Assert.Matches("ATTENDEE;.*CN=\"Mia Ola, 3rd\".*:mailto:mia\\+class@post.example", unfolded);
        Assert.Equal(new(2026, 1, 2, 0, 0, 0, DateTimeKind.Utc), Assert.Single(calendar.Events).DtStamp!.AsUtc);
    }

    /// <summary>RFC 6068 2: what has a meaning in a URI is written by its octets.</summary>
    [Theory]
    [InlineData("mia?cc=tom@post.example", "mailto:mia%3Fcc%3Dtom@post.example")]
    [InlineData("100%mia@post.example", "mailto:100%25mia@post.example")]
    // RFC 3492 7.1 by hand: the host of another script in ASCII.
    [InlineData("mia@bücher.example", "mailto:mia@xn--bcher-kva.example")]
    public void Address_StaysOneAddress(string email, string uri) => Assert.Contains($":{uri}\r\n",
        InviteToSession.Decide(Facts with { Recipient = Facts.Recipient with { Person = Facts.Recipient.Person with { Email = email } } }, NowMs)
            .Text.Replace("\r\n ", "", StringComparison.Ordinal), StringComparison.Ordinal);

    /// <summary>One from before hosts were looked at: no mail goes there, and none can be written.</summary>
    [Theory]
    [InlineData("mia@po%st.example")]
    [InlineData("mia")]
    [InlineData("")]
    public void AddressWithoutAHost_IsRefused(string email) => Assert.Equal(Reasons.EmailMissing, Assert.Throws<Refusal>(() => InviteToSession.Decide(
        Facts with { Recipient = Facts.Recipient with { Person = Facts.Recipient.Person with { Email = email } } }, NowMs)).Reason);

    /// <summary>RFC 5546 3.2.5: the same UID, a higher SEQUENCE.</summary>
    [Fact]
    public void CancelledSession_IsCancelledUnderItsUid()
    {
        var before = Calendar.Load(InviteToSession.Decide(Facts, NowMs).Text)!.Events[0]!;

        var (method, text) = InviteToSession.Decide(Facts with { Session = Facts.Session with { IsCancelled = true, Sequence = 4 } }, NowMs);

        var after = Calendar.Load(text)!.Events[0]!;
        Assert.Equal(("CANCEL", "CANCELLED", before.Uid), (method, after.Status, after.Uid));
        Assert.True(after.Sequence > before.Sequence);
    }

    [Fact]
    public void SomeoneWhoTakesPartNoMore_IsCancelledAlone()
    {
        var (method, text) = InviteToSession.Decide(Facts with { Recipient = Facts.Recipient with { Participation = Participation.NoMore } }, NowMs);

        Assert.Equal("CANCEL", method);
        Assert.StartsWith("This session is cancelled: you do not take part any more.", Calendar.Load(text)!.Events[0]!.Description, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Participation.Never, true, "mia@post.example", "office@alder.example", Reasons.NotTakingPart, "studios/alder/students/mia")]
    [InlineData(Participation.Now, false, "mia@post.example", "office@alder.example", Reasons.ConsentMissing, "studios/alder/students/mia")]
    [InlineData(Participation.Now, true, "", "office@alder.example", Reasons.EmailMissing, "studios/alder/students/mia")]
    [InlineData(Participation.Now, true, "mia@post.example", "", Reasons.EmailMissing, "studios/alder/sites/north")]
    public void Mail_ThatMayNotGoOut_IsRefused_NamingWhoIsConcerned(
        Participation participation, bool agrees, string email, string organizerEmail, string reason, string names)
    {
        var facts = Facts with
        {
            Organizer = Facts.Organizer with { Email = organizerEmail },
            Recipient = new(Facts.Recipient.Person with { Email = email }, agrees, participation),
        };

        var refusal = Assert.Throws<Refusal>(() => InviteToSession.Decide(facts, NowMs));

        Assert.Equal(reason, refusal.Reason);
        Assert.Contains(names, refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Participation.Now, Enrolment.Types.State.Withdrawn, Enrolment.Types.State.Enrolled)]
    [InlineData(Participation.NoMore, Enrolment.Types.State.Withdrawn, Enrolment.Types.State.Waiting)]
    [InlineData(Participation.Never, Enrolment.Types.State.Waiting, Enrolment.Types.State.Declined)]
    [InlineData(Participation.Never)]
    public void Participation_IsWhatAllEnrolmentsComeTo(Participation participation, params Enrolment.Types.State[] states) =>
        Assert.Equal(participation, InviteToSession.ParticipationOf(states));
}
