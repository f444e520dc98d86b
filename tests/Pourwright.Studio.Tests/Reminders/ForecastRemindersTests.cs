using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Reminders;

/// <summary>What one more forecast does. Times are hours of 6 February 2026; the swing is two hours, it is 12 o'clock, the session is at 40.</summary>
public sealed class ForecastRemindersTests
{
    private const double Now = 12;
    private const double Session = 40;
    private const string Piece = "studios/alder/pieces/walnut-7";
    private static readonly long Midnight = new DateTimeOffset(2026, 2, 6, 0, 0, 0, TimeSpan.Zero).ToUnixMs();

    public static TheoryData<string, (Kind, State, double)[], double?, string[]> DemoldCases => new()
    {
        // name, reminders so far (kind, state, due), new safe time to demold, what changes
        { "first forecast", [], 20, ["+DemoldReady@20"] },
        { "first forecast, already safe", [], 11, ["+DemoldReady@11"] },
        { "first forecast, never safe", [], null, [] },
        { "waiting, no change", [(Kind.DemoldReady, State.Pending, 20)], 20, [] },
        { "waiting, small swing later", [(Kind.DemoldReady, State.Pending, 20)], 20.5, [">DemoldReady@20.5"] },
        { "waiting, big swing later", [(Kind.DemoldReady, State.Pending, 20)], 26, [">DemoldReady@26"] },
        { "waiting, big swing earlier", [(Kind.DemoldReady, State.Pending, 20)], 15, [">DemoldReady@15"] },
        { "waiting, never safe", [(Kind.DemoldReady, State.Pending, 20)], null, ["-DemoldReady"] },
        { "sent, small swing", [(Kind.DemoldReady, State.Sent, 11)], 12.9, [] },
        { "sent, earlier still", [(Kind.DemoldReady, State.Sent, 11)], 9, [] },
        { "sent, moved by the swing to just now", [(Kind.DemoldReady, State.Sent, 10)], 12, [] },
        { "sent, moved by the swing past now", [(Kind.DemoldReady, State.Sent, 11)], 13, ["-DemoldReady", "+Withdrawn@12", "+DemoldReady@13"] },
        { "sent, big swing", [(Kind.DemoldReady, State.Sent, 11)], 18, ["-DemoldReady", "+Withdrawn@12", "+DemoldReady@18"] },
        { "acknowledged, big swing", [(Kind.DemoldReady, State.Acknowledged, 11)], 18, ["-DemoldReady", "+Withdrawn@12", "+DemoldReady@18"] },
        { "sent, never safe", [(Kind.DemoldReady, State.Sent, 11)], null, ["-DemoldReady", "+Withdrawn@12"] },
        { "withdrawn, next one waits", [(Kind.DemoldReady, State.Withdrawn, 11), (Kind.DemoldReady, State.Pending, 18)], 19, [">DemoldReady@19"] },
        { "withdrawn, safe again", [(Kind.DemoldReady, State.Withdrawn, 11)], 11, ["+DemoldReady@11"] },
    };

    [Theory]
    [MemberData(nameof(DemoldCases), DisableDiscoveryEnumeration = true)]
    public void Decide_DemoldSafeTime_ChangesOncePerDecision(string name, (Kind, State, double)[] so, double? demoldSafe, string[] changes)
    {
        Assert.NotEmpty(name);
        // The handle gate stands as announced, so that the demold gate alone speaks.
        (Kind, State, double)[] existing = [.. so, (Kind.HandleReady, State.Pending, 30)];

        Assert.Equal(changes, Show(Decide(News(demoldSafe, 30), existing)));
    }

    public static TheoryData<string, (Kind, State, double)[], double?, double?, string[]> RiskCases => new()
    {
        // name, so far, new safe time to handle, session, what changes
        { "in time", [], 38, Session, [] },
        { "at the session to the minute", [], 40, Session, [] },
        { "late", [], 41, Session, ["+AtRisk@12"] },
        { "late, told before", [(Kind.AtRisk, State.Sent, 6)], 60, Session, [] },
        { "late, taken in hand before", [(Kind.AtRisk, State.Acknowledged, 6)], 60, Session, [] },
        { "late, held back by quiet hours: its text follows", [(Kind.AtRisk, State.Pending, 6)], 41, Session, [">AtRisk@6"] },
        { "in time again, but for less than the swing", [(Kind.AtRisk, State.Sent, 6)], 39, Session, [] },
        { "in time again", [(Kind.AtRisk, State.Sent, 6)], 38, Session, ["-AtRisk", "+Withdrawn@12"] },
        { "in time again before anybody was told", [(Kind.AtRisk, State.Pending, 6)], 38, Session, ["-AtRisk"] },
        { "in time again, then late again", [(Kind.AtRisk, State.Withdrawn, 6)], 41, Session, ["+AtRisk@12"] },
        { "never", [], null, Session, ["+AtRisk@12"] },
        { "never, no session", [], null, null, ["+AtRisk@12"] },
        { "never, told before", [(Kind.AtRisk, State.Sent, 6)], null, Session, [] },
        { "no session, safe some time", [], 300, null, [] },
        { "no session, safe some time after never", [(Kind.AtRisk, State.Sent, 6)], 300, null, ["-AtRisk", "+Withdrawn@12"] },
        { "late for a session that has begun", [], 41, 12, [] },
    };

    [Theory]
    [MemberData(nameof(RiskCases), DisableDiscoveryEnumeration = true)]
    public void Decide_HandleSafeTimeAgainstTheSession_TellsOncePerChange(
        string name, (Kind, State, double)[] so, double? handleSafe, double? session, string[] changes)
    {
        Assert.NotEmpty(name);
        (Kind, State, double)[] existing = handleSafe is { } safe
            ? [.. so, (Kind.DemoldReady, State.Pending, 20), (Kind.HandleReady, State.Pending, safe)]
            : [.. so, (Kind.DemoldReady, State.Pending, 20)];

        Assert.Equal(changes, Show(Decide(News(20, handleSafe, session), existing)));
    }

    [Theory]
    [InlineData(false, null, "")]
    [InlineData(true, null, "+Exotherm@12!")]
    [InlineData(true, 11.0, "")] // told after the newest pour, which was at 10
    [InlineData(true, 9.0, "+Exotherm@12!")] // told of an earlier pour: this layer is another
    [InlineData(false, 11.0, "")] // a calmer forecast is no reason to look away
    public void Decide_Runaway_TellsOnceAPourAndNeverTakesItBack(bool runaway, double? told, string change)
    {
        (Kind, State, double)[] existing =
        [
            (Kind.DemoldReady, State.Pending, 20), (Kind.HandleReady, State.Pending, 30),
            .. told is { } at ? [(Kind.Exotherm, State.Acknowledged, at)] : Array.Empty<(Kind, State, double)>(),
        ];

        var changes = Decide(News(20, 30) with { Runaway = runaway, PeakHighCelsius = 182 }, existing);

        Assert.Equal(change.Length == 0 ? [] : [change], Show(changes));
    }

    public static TheoryData<string, (Kind, State, double)[], string[]> UnforecastCases => new()
    {
        // name, so far, what changes where the model cannot be asked
        { "first", [], ["+AtRisk@12", "+Exotherm@12!"] },
        { "ready waits", [(Kind.DemoldReady, State.Pending, 20)], ["-DemoldReady", "+AtRisk@12", "+Exotherm@12!"] },
        { "ready is out", [(Kind.HandleReady, State.Sent, 11)], ["-HandleReady", "+Withdrawn@12", "+AtRisk@12", "+Exotherm@12!"] },
        { "told of this pour", [(Kind.AtRisk, State.Sent, 11), (Kind.Exotherm, State.Acknowledged, 11)], [] },
        { "told of an earlier one", [(Kind.AtRisk, State.Sent, 6), (Kind.Exotherm, State.Acknowledged, 9)], ["+Exotherm@12!"] },
    };

    [Theory]
    [MemberData(nameof(UnforecastCases), DisableDiscoveryEnumeration = true)]
    public void Decide_PourThatTheModelCannotJudge_TellsSoAndAdvisesNoWarmth(string name, (Kind, State, double)[] so, string[] changes)
    {
        Assert.NotEmpty(name);

        var decided = Decide(News(null, null) with { Unforecast = "No forecast: too deep.", PeakHighCelsius = 0 }, so);

        Assert.Equal(changes, Show(decided));
        Assert.All(decided.Drafts, draft => Assert.DoesNotContain("warm", draft.Text, StringComparison.OrdinalIgnoreCase));
        Assert.All(decided.Drafts.Where(draft => draft.Kind != Kind.Exotherm), draft => Assert.EndsWith("No forecast: too deep.", draft.Text, StringComparison.Ordinal));
        Assert.All(decided.Drafts.Where(draft => draft.Kind == Kind.Exotherm), draft => Assert.DoesNotContain("0 °C", draft.Text, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(V1.Piece.Types.State.Curing, new[] { "+DemoldReady@20", "+HandleReady@30" })]
    [InlineData(V1.Piece.Types.State.Demolded, new[] { "+HandleReady@30" })]
    [InlineData(V1.Piece.Types.State.HandedOver, new string[0])]
    [InlineData(V1.Piece.Types.State.Scrapped, new string[0])]
    public void Decide_ByStateOfThePiece_AnnouncesOnlyWhatIsAhead(V1.Piece.Types.State state, string[] changes) =>
        Assert.Equal(changes, Show(ForecastReminders.Decide(News(20, 30), Facts with { State = state }, [], Site, Ms(Now))));

    [Fact]
    public void Decide_AfterSawOrPlaner_AnnouncesNoHandleGate() => Assert.Empty(
        ForecastReminders.Decide(News(20, 41), Facts with { State = V1.Piece.Types.State.Demolded, IsCut = true }, [], Site, Ms(Now)).Drafts);

    [Theory]
    [InlineData(11.0, 11.5, "")] // safe at 11, soft at 11:30: not announced again
    [InlineData(11.0, 10.5, "+DemoldReady@11")] // soft before the safe time says nothing
    [InlineData(14.0, 11.5, "+DemoldReady@14")] // a later safe time is another claim
    public void Decide_AfterASoftTouch_AnnouncesOnlyALaterTime(double safe, double softTouch, string change)
    {
        (Kind, State, double)[] existing = [(Kind.DemoldReady, State.Withdrawn, 11), (Kind.HandleReady, State.Pending, 30)];
        var changes = ForecastReminders.Decide(
            News(safe, 30), Facts with { SoftTouchMs = Ms(softTouch) }, Records(existing), Site, Ms(Now));

        Assert.Equal(change.Length == 0 ? [] : [change], Show(changes));
    }

    [Fact]
    public void DecideWithdrawal_SoftTouch_WithdrawsWhatWasDueAndLeavesWhatIsAhead()
    {
        var existing = Records([
            (Kind.DemoldReady, State.Sent, 10), (Kind.HandleReady, State.Pending, 30), (Kind.AtRisk, State.Sent, 9)]);

        var changes = ForecastReminders.DecideWithdrawal("Walnut 7", existing, "tacky at 11:45", Ms(Now));

        Assert.Equal(["-DemoldReady", "+Withdrawn@12"], Show(changes));
        Assert.Equal(
            "Piece Walnut 7: earlier 'ready to demold' withdrawn: tacky at 11:45. Leave it, and test by touch again before going on.",
            Assert.Single(changes.Drafts).Text);
    }

    [Fact]
    public void Decide_SlipAfterSent_SaysOldAndNewInLocalTimeAndGoesToWhoeverHasIt()
    {
        // Escalated meanwhile: the owner has it now, so the owner hears that it is off. Lisbon is on UTC in February.
        var sent = Records([(Kind.DemoldReady, State.Sent, 11), (Kind.HandleReady, State.Pending, 30)]);
        sent[0] = sent[0] with { RecipientRole = Contact.Types.Role.Owner };

        var changes = ForecastReminders.Decide(News(18.5, 30), Facts, sent, Site, Ms(Now));

        var notice = changes.Drafts.Single(draft => draft.Kind == Kind.Withdrawn);
        Assert.Equal(
            "Piece Walnut 7: earlier 'ready to demold' withdrawn: it cures more slowly than forecast. "
            + "New safe time Fri 6 Feb 18:30 (UTC+00:00). Leave it until then.", notice.Text);
        Assert.Equal((sent[0].Name, Contact.Types.Role.Owner), (notice.Subject, notice.RecipientRole));
    }

    [Fact]
    public void Texts_OfAPiece_BeginWithItsLabel() => Assert.All(
        Decide(News(20, 41) with { Runaway = true }, []).Drafts,
        draft => Assert.StartsWith("Piece Walnut 7: ", draft.Text, StringComparison.Ordinal));

    private static readonly SiteRecord Site = new()
    {
        Name = "studios/alder/sites/north",
        Studio = "studios/alder",
        DisplayName = "North",
        TimeZone = "Europe/Lisbon",
        QuietStartMinute = 21 * 60,
        QuietEndMinute = 7 * 60,
        ReminderSwingMs = 2 * 3_600_000,
        DewPointMarginCelsius = 3,
        Etag = "1",
    };

    private static readonly PieceFacts Facts = new(V1.Piece.Types.State.Curing, LastPourRecordMs: Ms(10), SoftTouchMs: null, IsCut: false);

    private static ForecastNews News(double? demoldSafe, double? handleSafe, double? session = Session) => new(
        "studios/alder", "studios/alder/sites/north", Piece, "Walnut 7", Ms(session), Ms(demoldSafe), Ms(handleSafe), false, 60);

    private static ReminderChanges Decide(ForecastNews news, (Kind, State, double)[] existing) =>
        ForecastReminders.Decide(news, Facts, Records(existing), Site, Ms(Now));

    /// <summary>Reminders as an earlier forecast wrote them, so that a changed text shows as a move and an unchanged one does not.</summary>
    private static ReminderRecord[] Records((Kind Kind, State State, double Due)[] rows) => [.. rows.Select((row, i) => new ReminderRecord
    {
        Sequence = i + 1,
        Name = $"studios/alder/reminders/{row.Kind}-{i + 1}",
        Studio = "studios/alder",
        Site = "studios/alder/sites/north",
        Kind = row.Kind,
        State = row.State,
        Subject = Piece,
        Text = row.Kind switch
        {
            Kind.DemoldReady => ReminderTexts.DemoldReady("Walnut 7", Ms(row.Due), Site.Zone),
            Kind.HandleReady => ReminderTexts.HandleReady("Walnut 7", Ms(row.Due), Site.Zone),
            _ => "as told",
        },
        RecipientRole = Contact.Types.Role.Instructor,
        RemindMs = Ms(row.Due),
    })];

    /// <summary>Drafts as `+Kind@hour` (`!` for safety), moves as `>Kind@hour`, withdrawals as `-Kind`; withdrawals first.</summary>
    private static IReadOnlyList<string> Show(ReminderChanges changes) =>
    [
        .. changes.Withdrawals.Select(w => $"-{KindOf(w.Name)}"),
        .. changes.Moves.Select(m => $">{KindOf(m.Name)}@{Hour(m.RemindMs)}"),
        .. changes.Drafts.Select(d => $"+{d.Kind}@{Hour(d.RemindMs)}{(d.Safety ? "!" : "")}"),
    ];

    private static string KindOf(string name) => name.Split('/')[^1].Split('-')[0];

    private static double Hour(long ms) => (ms - Midnight) / 3_600_000.0;

    private static long Ms(double hour) => Midnight + (long)(hour * 3_600_000);

    private static long? Ms(double? hour) => hour is { } h ? Ms(h) : null;
}
