using Pourwright.Studio.Pieces;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>What a new forecast of a piece says to people. Times in Unix ms; a safe time is null beyond the forecast's horizon.</summary>
/// <param name="Unforecast">Why there is none, in whole sentences: the model could not be asked, so that no safe time means nothing. Else empty.</param>
public sealed record ForecastNews(
    string Studio,
    string Site,
    string Piece,
    string Label,
    long? PlannedSessionMs,
    long? DemoldSafeMs,
    long? HandleSafeMs,
    bool Runaway,
    double PeakHighCelsius,
    string Advice = "",
    string Unforecast = "")
{
    public bool IsComputed => Unforecast.Length == 0;
}

/// <summary>How a piece stands, as far as its reminders ask. Times in Unix ms.</summary>
/// <param name="State">Of the piece.</param>
/// <param name="LastPourRecordMs">When its newest pour was recorded; null before the first.</param>
/// <param name="SoftTouchMs">When it was last felt, if it was tacky or soft then.</param>
/// <param name="IsCut">It was on the saw or the planer: nobody waits for its handle gate any more.</param>
public sealed record PieceFacts(Piece.Types.State State, long? LastPourRecordMs, long? SoftTouchMs, bool IsCut)
{
    public bool IsClosed => State is Piece.Types.State.HandedOver or Piece.Types.State.Scrapped;

    public static PieceFacts Of(
        PieceRecord piece, IReadOnlyList<PourRecord> pours, IReadOnlyList<CheckRecord> checks, IReadOnlyList<StepRecord> steps)
    {
        var touched = checks.LastOrDefault(check => check.Touch != Check.Types.Touch.Unspecified);
        return new PieceFacts(
            piece.State,
            pours.Max(pour => (long?)pour.RecordMs),
            touched?.Touch is Check.Types.Touch.Tacky or Check.Types.Touch.Soft ? touched.CheckMs : null,
            steps.Any(step => step.Kind is Step.Types.Kind.Saw or Step.Types.Kind.Plane));
    }
}

/// <summary>Which reminders a forecast makes, moves or withdraws: one message per decision, not one per forecast.</summary>
public static class ForecastReminders
{
    /// <summary>Writes what follows from a forecast, in the transaction that saves it.</summary>
    public static void Apply(StudioTransaction tx, ForecastNews news)
    {
        var site = SiteStore.GetSite(tx, news.Site);
        var facts = PieceFacts.Of(
            PieceStore.GetPiece(tx, news.Piece), PieceStore.GetPours(tx, news.Piece), PieceStore.GetChecks(tx, news.Piece),
            PieceStore.GetSteps(tx, news.Piece));
        var changes = Decide(news, facts, ReminderStore.About(tx, news.Piece), site, tx.Now.ToUnixMs());
        ReminderStore.Save(tx, changes);
    }

    /// <summary>Withdraws every "ready" of a piece whose time has come: what people felt contradicts it.</summary>
    /// <param name="reason">Reads on after a colon, without a full stop.</param>
    public static void WithdrawReady(StudioTransaction tx, string piece, string reason)
    {
        var label = PieceStore.GetPiece(tx, piece).Label;
        ReminderStore.Save(tx, DecideWithdrawal(label, ReminderStore.About(tx, piece), reason, tx.Now.ToUnixMs()));
    }

    /// <summary>Takes back all that was announced of a piece.</summary>
    /// <param name="reason">Reads on after a colon, without a full stop.</param>
    public static void WithdrawAll(StudioTransaction tx, string piece, string reason)
    {
        var label = PieceStore.GetPiece(tx, piece).Label;
        var changes = new ReminderChanges();
        foreach (var announced in ReminderStore.About(tx, piece).Where(r => r.IsLive && IsOfCure(r.Kind)))
            changes.Withdraw(announced, reason, $"Piece {label}: what was announced of it is withdrawn: {reason}.", tx.Now.ToUnixMs());
        ReminderStore.Save(tx, changes);
    }

    /// <summary>The changes after a forecast. <paramref name="existing"/> are the reminders about the piece, oldest first.</summary>
    /// <remarks>
    /// A waiting "ready" follows the safe time, be it by a minute: nobody was told, and it must never go out early.
    /// One that is out stands until the safe time has moved past now and by the site's swing or more.
    /// "At risk" comes once, and goes when the safe time is a swing ahead of the session: the band between keeps it from flapping.
    /// A runaway is told once a pour, and no later forecast takes it back: a pour that was to run away is watched until it is cool. One of
    /// which nothing can be predicted is watched as well.
    /// </remarks>
    public static ReminderChanges Decide(
        ForecastNews news, PieceFacts facts, IReadOnlyList<ReminderRecord> existing, SiteRecord site, long nowMs)
    {
        var decision = new Decision(news, facts, existing, site, nowMs);
        if (facts.IsClosed) return decision.Changes;
        if (facts.State != Piece.Types.State.Demolded) decision.Ready(Reminder.Types.Kind.DemoldReady, news.DemoldSafeMs);
        if (!facts.IsCut) decision.Ready(Reminder.Types.Kind.HandleReady, news.HandleSafeMs);
        if (!facts.IsCut) decision.AtRisk();
        decision.Exotherm();
        return decision.Changes;
    }

    /// <summary>The changes after a touch that contradicts.</summary>
    public static ReminderChanges DecideWithdrawal(string label, IReadOnlyList<ReminderRecord> existing, string reason, long nowMs)
    {
        var changes = new ReminderChanges();
        foreach (var ready in existing.Where(r => IsReady(r.Kind) && r.IsLive && r.RemindMs <= nowMs))
            changes.Withdraw(ready, reason, ReminderTexts.Contradicted(ready.Kind, label, reason), nowMs);
        return changes;
    }

    private static bool IsReady(Reminder.Types.Kind kind) =>
        kind is Reminder.Types.Kind.DemoldReady or Reminder.Types.Kind.HandleReady;

    private static bool IsOfCure(Reminder.Types.Kind kind) =>
        IsReady(kind) || kind is Reminder.Types.Kind.AtRisk or Reminder.Types.Kind.Exotherm;

    private sealed class Decision(
        ForecastNews news, PieceFacts facts, IReadOnlyList<ReminderRecord> existing, SiteRecord site, long nowMs)
    {
        private readonly TimeZoneInfo _zone = site.Zone;

        public ReminderChanges Changes { get; } = new();

        public void Ready(Reminder.Types.Kind kind, long? safeMs)
        {
            var live = Live(kind);
            if (live is null) Announce(kind, safeMs);
            else if (!live.IsOut) Follow(live, safeMs);
            else if (HasSlipped(live, safeMs)) Replace(live, safeMs);
        }

        public void AtRisk()
        {
            var live = Live(Reminder.Types.Kind.AtRisk);
            if (news.PlannedSessionMs <= nowMs) return;
            if (!news.IsComputed) Warn(live, ReminderTexts.Unforecast(news.Label, news.Unforecast));
            else if (news.HandleSafeMs is not { } safeMs) Warn(live, ReminderTexts.NeverHard(news.Label, news.Advice));
            else if (news.PlannedSessionMs is { } sessionMs && safeMs > sessionMs)
                Warn(live, ReminderTexts.LateForSession(news.Label, safeMs, sessionMs, _zone, news.Advice));
            else if (live is not null && IsWellInTime(safeMs))
                Changes.Withdraw(live, "in time again", ReminderTexts.InTime(news.Label, safeMs, _zone), nowMs);
        }

        public void Exotherm()
        {
            var told = Live(Reminder.Types.Kind.Exotherm);
            if ((news.IsComputed && !news.Runaway) || told?.RemindMs >= (facts.LastPourRecordMs ?? 0)) return;
            var text = news.IsComputed ? ReminderTexts.Runaway(news.Label, news.PeakHighCelsius) : ReminderTexts.MayRunAway(news.Label);
            Add(Reminder.Types.Kind.Exotherm, nowMs, text, safety: true);
        }

        private string WhyNever => news.IsComputed ? "no safe time within the forecast" : "it cannot be forecast any more";

        private ReminderRecord? Live(Reminder.Types.Kind kind) => existing.LastOrDefault(r => r.Kind == kind && r.IsLive);

        private void Announce(Reminder.Types.Kind kind, long? safeMs)
        {
            if (safeMs is { } ms && !IsContradicted(ms)) Add(kind, ms, TextOf(kind, ms));
        }

        private void Follow(ReminderRecord waiting, long? safeMs)
        {
            if (safeMs is not { } ms) Changes.Drop(waiting, WhyNever);
            else if (IsContradicted(ms)) Changes.Drop(waiting, "it was soft or tacky after its safe time");
            else Changes.Move(waiting, ms, TextOf(waiting.Kind, ms));
        }

        private void Replace(ReminderRecord told, long? safeMs)
        {
            var reason = safeMs is { } ms ? $"the safe time moved to {ReminderTexts.At(ms, _zone)}" : WhyNever;
            Changes.Withdraw(told, reason, ReminderTexts.Slipped(told.Kind, news.Label, safeMs, _zone, news.Unforecast), nowMs);
            Announce(told.Kind, safeMs);
        }

        private bool HasSlipped(ReminderRecord told, long? safeMs) =>
            safeMs is not { } ms || (ms > nowMs && ms - told.RemindMs >= site.ReminderSwingMs);

        private bool IsWellInTime(long safeMs) =>
            news.PlannedSessionMs is not { } sessionMs || safeMs <= sessionMs - site.ReminderSwingMs;

        /// <summary>Felt soft after it should have been firm: no "ready" again but for a later time, or after a firmer touch.</summary>
        private bool IsContradicted(long safeMs) => safeMs <= facts.SoftTouchMs;

        private void Warn(ReminderRecord? live, string text)
        {
            if (live is null) Add(Reminder.Types.Kind.AtRisk, nowMs, text);
            else if (!live.IsOut) Changes.Move(live, live.RemindMs, text);
        }

        private string TextOf(Reminder.Types.Kind kind, long safeMs) => kind == Reminder.Types.Kind.DemoldReady
            ? ReminderTexts.DemoldReady(news.Label, safeMs, _zone)
            : ReminderTexts.HandleReady(news.Label, safeMs, _zone);

        private void Add(Reminder.Types.Kind kind, long remindMs, string text, bool safety = false) => Changes.Add(new ReminderDraft
        {
            Studio = news.Studio,
            Site = news.Site,
            Kind = kind,
            Subject = news.Piece,
            Text = text,
            RecipientRole = Contact.Types.Role.Instructor,
            Safety = safety,
            RemindMs = remindMs,
        });
    }
}
