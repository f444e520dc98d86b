using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Calendars;

/// <summary>Links and their feeds, against a real node.</summary>
public sealed class CalendarServiceTests : IAsyncLifetime
{
    private StudioHarness _node = null!;
    private V1.CalendarService.CalendarServiceClient _calendars = null!;
    private HttpClient _http = null!;

    public async Task InitializeAsync()
    {
        _node = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        await SampleSeason.CreateAsync(_node.Channel);
        (_calendars, _http) = (new(_node.Channel), new() { BaseAddress = _node.HttpAddress });
    }

    public async Task DisposeAsync()
    {
        _http.Dispose();
        await _node.DisposeAsync();
    }

    [Fact]
    public async Task Link_ShowsItsPathOnce_AndItsKeyIsKeptNowhere()
    {
        var request = Request(link => link.Site = SampleSeason.Hof);
        request.RequestId = Guid.NewGuid().ToString();

        var opened = await _calendars.CreateCalendarLinkAsync(request);
        var repeated = await _calendars.CreateCalendarLinkAsync(request);
        var read = await _calendars.GetCalendarLinkAsync(new() { Name = opened.Name });
        var listed = await _calendars.ListCalendarLinksAsync(new() { Parent = SampleStudio.Name });

        // 32 hexadecimal digits are 128 bits.
        Assert.Matches("^/calendars/[0-9a-f]{32}\\.ics$", opened.FeedPath);
        Assert.Equal("", repeated.FeedPath);
        Assert.Equal(repeated, read);
        Assert.Equal([read], listed.CalendarLinks);
        Assert.True(await IsOnDiskAsync(opened.Name));
        Assert.False(await IsOnDiskAsync(Regex.Match(opened.FeedPath, "[0-9a-f]{32}").Value));
    }

    [Fact]
    public async Task TwoLinks_OfOneSite_HaveTwoKeys() =>
        Assert.NotEqual(await OpenAsync(link => link.Site = SampleSeason.Hof), await OpenAsync(link => link.Site = SampleSeason.Hof));

    [Fact]
    public async Task Feed_IsCalendarText_ThatNoSharedCacheKeeps()
    {
        using var answer = await _http.GetAsync(await OpenAsync(link => link.Site = SampleSeason.Hof));

        Assert.Equal("text/calendar; charset=utf-8", answer.Content.Headers.ContentType?.ToString());
        Assert.True(answer.Headers.CacheControl is { Private: true, NoCache: true });
        Assert.StartsWith("BEGIN:VCALENDAR\r\n", await answer.Content.ReadAsStringAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Feed_OfASite_ShowsItsClasses_AndNoStudent()
    {
        var feed = await FeedAsync(await OpenAsync(link => link.Site = SampleSeason.Hof));

        Assert.Equal(["Trays hof-autumn: machine day", "Trays hof-autumn: pour", "Trays hof-spring: machine day", "Trays hof-spring: pour"], Summaries(feed));
        Assert.Contains("X-WR-CALNAME:Alder\\, Hof Hall", feed, StringComparison.Ordinal);
        Assert.Contains("LOCATION:Hof Hall\\, Long shelf", feed, StringComparison.Ordinal);
        Assert.Contains("With Ana.", feed, StringComparison.Ordinal);
        Assert.DoesNotMatch("(?i)mia|tom|olive|alder.example|post.example", feed);
    }

    [Fact]
    public async Task Feed_OfAnInstructor_ShowsWhatTheyTeach() => Assert.Equal(
        ["Trays pier-autumn: machine day", "Trays pier-autumn: pour", "Trays pier-spring: machine day", "Trays pier-spring: pour"],
        Summaries(await FeedAsync(await OpenAsync(link => link.Instructor = SampleTeaching.Rui))));

    [Fact]
    public async Task Feed_OfAStudent_ShowsTheirClasses_AndNothingOfOthers()
    {
        var path = await OpenAsync(link => link.Student = SampleSeason.Mia);
        var before = await FeedAsync(path);

        await new V1.StudentService.StudentServiceClient(_node.Channel).WithdrawEnrolmentAsync(new() { Name = $"{SampleSeason.HofSpring}/enrolments/mia" });

        Assert.Equal(["Trays hof-spring: machine day", "Trays hof-spring: pour", "Trays pier-autumn: machine day", "Trays pier-autumn: pour"], Summaries(before));
        Assert.DoesNotMatch("(?i)mia|tom|olive|alder.example|post.example", before);
        Assert.Equal(["Trays pier-autumn: machine day", "Trays pier-autumn: pour"], Summaries(await FeedAsync(path)));
    }

    [Fact]
    public async Task MovedSession_KeepsItsUid_AndCountsOn()
    {
        var path = await OpenAsync(link => link.Student = SampleSeason.Tom);
        var before = Pour(await FeedAsync(path));
        _node.Clock.Advance(TimeSpan.FromHours(1));

        await SampleSeason.ScheduleAsync(_node.Channel, SampleSeason.HofSpring, SampleSeason.Hof, SampleTeaching.Ana, new(2026, 4, 4), "The hall is let.");

        var after = Pour(await FeedAsync(path));
        Assert.Equal(before["UID"], after["UID"]);
        Assert.True(int.Parse(after["SEQUENCE"], null) > int.Parse(before["SEQUENCE"], null));
        Assert.Equal(("20260328T100000", "20260404T100000"), (before["DTSTART;TZID=Europe/Berlin"], after["DTSTART;TZID=Europe/Berlin"]));
        // The harness starts at 09:00 UTC on 6 February; the move came an hour later.
        Assert.Equal(("20260206T090000Z", "20260206T100000Z"), (before["LAST-MODIFIED"], after["LAST-MODIFIED"]));
        Assert.StartsWith("Changed: The hall is let.", after["DESCRIPTION"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task CancelledClass_StaysInTheFeed_AsCancelled()
    {
        var path = await OpenAsync(link => link.Student = SampleSeason.Tom);
        var before = Pour(await FeedAsync(path));

        await new V1.ClassService.ClassServiceClient(_node.Channel).CancelCastingClassAsync(new() { Name = SampleSeason.HofSpring, Reason = "Too few took part." });

        var after = Pour(await FeedAsync(path));
        Assert.Equal(("CONFIRMED", "CANCELLED"), (before["STATUS"], after["STATUS"]));
        Assert.Equal(before["UID"], after["UID"]);
        Assert.True(int.Parse(after["SEQUENCE"], null) > int.Parse(before["SEQUENCE"], null));
    }

    [Fact]
    public async Task UnchangedFeed_IsNotSentAgain_ChangedOneIs()
    {
        var path = await OpenAsync(link => link.Site = SampleSeason.Hof);
        using var first = await _http.GetAsync(path);
        _node.Clock.Advance(TimeSpan.FromDays(1));

        using var same = await AskAgainAsync(path, first);
        await SampleSeason.ScheduleAsync(_node.Channel, SampleSeason.HofSpring, SampleSeason.Hof, SampleTeaching.Ana, new(2026, 4, 4), "The hall is let.");
        using var changed = await AskAgainAsync(path, first);

        Assert.Equal((HttpStatusCode.NotModified, ""), (same.StatusCode, await same.Content.ReadAsStringAsync()));
        Assert.Equal(HttpStatusCode.OK, changed.StatusCode);
        Assert.NotEqual(first.Headers.ETag, changed.Headers.ETag);
    }

    [Fact]
    public async Task RevokedLink_IsNotFoundAtOnce_AsIfItHadNeverBeen()
    {
        var link = await _calendars.CreateCalendarLinkAsync(Request(one => one.Site = SampleSeason.Hof));
        using var first = await _http.GetAsync(link.FeedPath);

        var revoked = await _calendars.RevokeCalendarLinkAsync(new() { Name = link.Name });
        _node.Clock.Advance(TimeSpan.FromHours(1));
        var again = await _calendars.RevokeCalendarLinkAsync(new() { Name = link.Name });

        using var gone = await AskAgainAsync(link.FeedPath, first);
        using var unknown = await _http.GetAsync($"/calendars/{new string('0', 32)}.ics");
        Assert.Equal(HttpStatusCode.OK, first.StatusCode);
        Assert.Equal((HttpStatusCode.NotFound, StudioHarness.Start), (gone.StatusCode, revoked.RevokeTime.ToDateTimeOffset()));
        Assert.Equal(revoked, again);
        Assert.Equal(await SeenAsync(unknown), await SeenAsync(gone));
    }

    [Fact]
    public async Task ExpiredLink_IsNotFound_FromThatMillisecondOn()
    {
        var path = await OpenAsync(link => (link.Site, link.ExpireTime) = (SampleSeason.Hof, Timestamp.FromDateTimeOffset(StudioHarness.Start.AddDays(1))));
        _node.Clock.Advance(TimeSpan.FromDays(1) - TimeSpan.FromMilliseconds(1));
        using var before = await _http.GetAsync(path);
        _node.Clock.Advance(TimeSpan.FromMilliseconds(1));
        using var after = await _http.GetAsync(path);

        Assert.Equal((HttpStatusCode.OK, HttpStatusCode.NotFound), (before.StatusCode, after.StatusCode));
    }

    [Fact]
    public async Task SessionLongOver_LeavesTheFeed()
    {
        var path = await OpenAsync(link => link.Student = SampleSeason.Tom);
        // The pour ends on 28 March at 13:00 UTC, the machine day on the 30th at 11:00: 90 days later are 26 and 28 June.
        _node.Clock.Advance(new DateTimeOffset(2026, 6, 27, 0, 0, 0, TimeSpan.Zero) - StudioHarness.Start);

        Assert.Equal(["Trays hof-spring: machine day"], Summaries(await FeedAsync(path)));
    }

    public static TheoryData<string, string> Refused => new()
    {
        { "of nobody", "calendar_link" },
        { "of a site of another studio", "calendar_link.site" },
        { "of a student who is none", "calendar_link.student" },
        { "expired already", "calendar_link.expire_time" },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public async Task Link_ThatCannotBe_IsRefused(string what, string field)
    {
        var request = Request(link => _ = what switch
        {
            "of a site of another studio" => link.Site = "studios/birch/sites/hof",
            "of a student who is none" => link.Student = SampleTeaching.Ana,
            "expired already" => (link.Site = SampleSeason.Hof) + (link.ExpireTime = Timestamp.FromDateTimeOffset(StudioHarness.Start)),
            _ => "",
        });

        var refusal = await Assert.ThrowsAsync<RpcException>(() => _calendars.CreateCalendarLinkAsync(request).ResponseAsync);

        Assert.Equal((StatusCode.InvalidArgument, Reasons.FieldInvalid, field), (refusal.StatusCode, refusal.Reason(), Assert.Single(refusal.Fields())));
    }

    [Fact]
    public async Task Link_OfAStudentWhoIsNotThere_IsRefused() => Assert.Equal(Reasons.StudentNotFound, (await Assert.ThrowsAsync<RpcException>(
        () => _calendars.CreateCalendarLinkAsync(Request(link => link.Student = "studios/alder/students/nobody")).ResponseAsync)).Reason());

    [Fact]
    public async Task Links_AreListedBySubject_PageByPage()
    {
        foreach (var id in new[] { "hof-c", "hof-a", "hof-b" })
        {
            var request = Request(link => link.Site = SampleSeason.Hof);
            request.CalendarLinkId = id;
            await _calendars.CreateCalendarLinkAsync(request);
        }
        await OpenAsync(link => link.Site = SampleSeason.Pier);
        var list = new ListCalendarLinksRequest { Parent = SampleStudio.Name, Subject = SampleSeason.Hof, PageSize = 2 };

        var first = await _calendars.ListCalendarLinksAsync(list);
        list.PageToken = first.NextPageToken;
        var last = await _calendars.ListCalendarLinksAsync(list);

        Assert.Equal(["hof-a", "hof-b", "hof-c"], first.CalendarLinks.Concat(last.CalendarLinks).Select(link => link.Name.Split('/')[^1]));
        Assert.Equal("", last.NextPageToken);
    }

    [Fact]
    public async Task Invitation_OfAStudent_NamesThatStudentAlone_AndIsTakenBackWithTheSeat()
    {
        var request = new GetSessionInvitationRequest { Name = $"{SampleSeason.HofSpring}/sessions/pour", Student = SampleSeason.Mia };

        var asked = await _calendars.GetSessionInvitationAsync(request);
        await new V1.StudentService.StudentServiceClient(_node.Channel).WithdrawEnrolmentAsync(new() { Name = $"{SampleSeason.HofSpring}/enrolments/mia" });
        var takenBack = await _calendars.GetSessionInvitationAsync(request);

        Assert.Equal("text/calendar; charset=utf-8; method=REQUEST", asked.ContentType);
        Assert.Equal("text/calendar; charset=utf-8; method=CANCEL", takenBack.ContentType);
        var text = Unfolded(asked.Data.ToStringUtf8());
        Assert.Matches("ATTENDEE;.*CN=Mia Ola.*:mailto:mia@post.example", text);
        Assert.Contains("ORGANIZER;CN=Alder:mailto:olive@alder.example", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Tom", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Invitation_OfAnInstructor_IsARequestForTheirOwn_AndOffForTheRest()
    {
        var session = $"{SampleSeason.HofSpring}/sessions/pour";

        Assert.EndsWith("REQUEST", (await _calendars.GetSessionInvitationAsync(new() { Name = session, Instructor = SampleTeaching.Ana })).ContentType, StringComparison.Ordinal);
        // Rui is recorded without an address.
        Assert.Equal(Reasons.EmailMissing, (await Assert.ThrowsAsync<RpcException>(
            () => _calendars.GetSessionInvitationAsync(new() { Name = session, Instructor = SampleTeaching.Rui }).ResponseAsync)).Reason());
    }

    [Theory]
    [InlineData("studios/alder/classes/hof-spring/sessions/finish", SampleSeason.Mia, Reasons.SessionNotFound)]
    [InlineData("studios/alder/classes/hof-autumn/sessions/pour", SampleSeason.Mia, Reasons.NotTakingPart)]
    [InlineData("studios/alder/classes/hof-autumn/sessions/pour", "", Reasons.FieldInvalid)]
    public async Task Invitation_ThatCannotBe_IsRefused(string session, string student, string reason)
    {
        var request = new GetSessionInvitationRequest { Name = session };
        if (student.Length > 0) request.Student = student;

        Assert.Equal(reason, (await Assert.ThrowsAsync<RpcException>(() => _calendars.GetSessionInvitationAsync(request).ResponseAsync)).Reason());
    }

    private static CreateCalendarLinkRequest Request(Action<CalendarLink> fill)
    {
        var link = new CalendarLink();
        fill(link);
        return new() { Parent = SampleStudio.Name, CalendarLink = link };
    }

    private async Task<string> OpenAsync(Action<CalendarLink> fill) => (await _calendars.CreateCalendarLinkAsync(Request(fill))).FeedPath;

    private async Task<string> FeedAsync(string path) => Unfolded(await _http.GetStringAsync(new Uri(path, UriKind.Relative)));

    private async Task<HttpResponseMessage> AskAgainAsync(string path, HttpResponseMessage earlier)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, path);
        request.Headers.IfNoneMatch.Add(earlier.Headers.ETag!);
        return await _http.SendAsync(request);
    }

    /// <summary>All that a stranger sees, but for the time of the answer.</summary>
    private static async Task<string> SeenAsync(HttpResponseMessage answer) =>
        $"{answer.StatusCode} {string.Join(';', answer.Headers.Where(header => header.Key != "Date").Select(header => header.Key))} "
        + $"{answer.Content.Headers.ContentType} {await answer.Content.ReadAsStringAsync()}";

    private static string Unfolded(string feed) => feed.Replace("\r\n ", "", StringComparison.Ordinal);

    private static IEnumerable<string> Summaries(string feed) => Regex.Matches(feed, "SUMMARY:(.*)\r").Select(match => match.Groups[1].Value).Order();

    private static Dictionary<string, string> Pour(string feed) => Regex.Matches(feed, "BEGIN:VEVENT\r\n(.*?)END:VEVENT", RegexOptions.Singleline)
        .Select(match => match.Groups[1].Value.Split("\r\n", StringSplitOptions.RemoveEmptyEntries)
            .ToDictionary(line => line[..line.IndexOf(':', StringComparison.Ordinal)], line => line[(line.IndexOf(':', StringComparison.Ordinal) + 1)..]))
        .Single(properties => properties["SUMMARY"].EndsWith(": pour", StringComparison.Ordinal));

    private async Task<bool> IsOnDiskAsync(string text)
    {
        var found = _node.Store.Rows().Any(row =>
            row.Contains(text, StringComparison.Ordinal) || row.Contains(Convert.ToHexString(Encoding.ASCII.GetBytes(text)), StringComparison.Ordinal));
        foreach (var path in Directory.GetFiles(_node.Folder)) found |= (await ReadAsync(path)).AsSpan().IndexOf(Encoding.ASCII.GetBytes(text)) >= 0;
        return found;
    }

    private static async Task<byte[]> ReadAsync(string path)
    {
        await using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        var octets = new byte[file.Length];
        await file.ReadExactlyAsync(octets);
        return octets;
    }
}
