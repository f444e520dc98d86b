using Pourwright.Studio.Classes;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;

namespace Pourwright.Studio.Plans;

/// <summary>A class on its way to its machine day.</summary>
/// <param name="Class">Which.</param>
/// <param name="Site">Where.</param>
/// <param name="Machine">Its machine day.</param>
/// <param name="Instructor">Who teaches there.</param>
/// <param name="Chance">That all of its pieces are ready by then.</param>
/// <param name="IsPoured">Whether that is of pieces, or of a pour to come.</param>
/// <param name="Late">Labels of the pieces that would not be safe by then; none before the pour.</param>
public sealed record ClassOutlook(
    ClassRecord Class, SiteRecord Site, SessionRecord Machine, InstructorRecord Instructor, double Chance, bool IsPoured, IReadOnlyList<string> Late);

/// <summary>Which classes people are told of because their pieces may not be ready: once a decision, and taken back in the open.</summary>
/// <remarks>
/// Poured pieces are spoken of from the notice on; a class that is still to be poured at once, since its dates can still be moved.
/// Nothing is changed by the machine.
/// </remarks>
public static class AtRisk
{
    /// <summary>A chance that climbs this far above what is asked for takes the word back: on the edge it stands. Our choice.</summary>
    private const double Above = 0.02;

    /// <summary>What is to be said now, of a class; null where nothing is. The decision takes the place of the notice.</summary>
    public static Kind? Due(ClassOutlook outlook, PlanOptions options, long nowMs)
    {
        var leadMs = outlook.Machine.StartMs - nowMs;
        if (outlook.Chance >= options.ChanceAllReady || leadMs <= 0) return null;
        if (leadMs <= options.DecisionAhead.TotalMilliseconds) return Kind.ClassDecision;
        return leadMs <= options.NoticeAhead.TotalMilliseconds || !outlook.IsPoured ? Kind.ClassAtRisk : null;
    }

    /// <summary>The changes.</summary>
    /// <param name="outlook">Of one class.</param>
    /// <param name="about">The reminders about it.</param>
    /// <param name="help">What would help, in sentences; asked only where something is to be said.</param>
    /// <param name="options">When people are told.</param>
    /// <param name="nowMs">Unix ms.</param>
    public static ReminderChanges Decide(
        ClassOutlook outlook, IReadOnlyList<ReminderRecord> about, Func<string> help, PlanOptions options, long nowMs)
    {
        var changes = new ReminderChanges();
        var live = about.Where(reminder => reminder.IsLive && reminder.Kind is Kind.ClassAtRisk or Kind.ClassDecision && reminder.Subject == outlook.Class.Name).ToArray();
        if (outlook.Chance >= options.ChanceAllReady + Above)
            foreach (var reminder in live) changes.Withdraw(reminder, "in time again", InTime(outlook), nowMs);
        else TellAnew(changes, outlook, live, help, options, nowMs);
        return changes;
    }

    /// <summary>What was said of a machine day that has moved since is taken back, and does not count as said of the one that it is now.</summary>
    private static void TellAnew(
        ReminderChanges changes, ClassOutlook outlook, IReadOnlyList<ReminderRecord> live, Func<string> help, PlanOptions options, long nowMs)
    {
        var ofAnother = live.Where(reminder => reminder.RemindMs < outlook.Machine.ChangeMs).ToArray();
        foreach (var reminder in ofAnother) changes.Withdraw(reminder, "its machine day has changed", Changed(outlook), nowMs);
        if (Due(outlook, options, nowMs) is { } due && live.Except(ofAnother).All(reminder => reminder.Kind != due))
            Tell(changes, outlook, due, Text(outlook, due, help(), nowMs), nowMs);
    }

    private static void Tell(ReminderChanges changes, ClassOutlook outlook, Kind kind, string text, long nowMs)
    {
        var draft = new ReminderDraft
        {
            Studio = outlook.Class.Studio, Site = outlook.Site.Name, Kind = kind, Subject = outlook.Class.Name, Text = text,
            RecipientRole = Contact.Types.Role.Owner, RemindMs = nowMs,
        };
        changes.Add(draft);
        changes.Add(draft with
        {
            RecipientRole = Contact.Types.Role.Unspecified, Recipient = outlook.Instructor.Name, RecipientEmail = outlook.Instructor.Email,
        });
    }

    private static string Text(ClassOutlook outlook, Kind kind, string help, long nowMs)
    {
        var (name, day) = (ResourceNames.IdOf(outlook.Class.Name), ReminderTexts.At(outlook.Machine.StartMs, outlook.Site.Zone));
        var late = outlook.Late.Count == 0 ? "" : $" Late: {string.Join(", ", outlook.Late.Take(8))}.";
        var what = outlook.IsPoured
            ? $"{name}: all pieces are ready for saw and planer by {day} with {PlanWords.Percent(outlook.Chance)} only.{late}"
            : $"{name}: as its room is foretold, all pieces would be ready for saw and planer by {day} with {PlanWords.Percent(outlook.Chance)} only.";
        var hours = (outlook.Machine.StartMs - nowMs) / 3_600_000;
        return kind == Kind.ClassDecision
            ? $"{what} Decide now, {hours} h before: warm, move, or teach something else first. {help} Nothing is changed until you say so."
            : $"{what} {help} Nothing is changed yet.";
    }

    private static string Changed(ClassOutlook outlook) =>
        $"{ResourceNames.IdOf(outlook.Class.Name)}: earlier 'at risk' withdrawn: its machine day has changed since, to {ReminderTexts.At(outlook.Machine.StartMs, outlook.Site.Zone)}.";

    private static string InTime(ClassOutlook outlook) =>
        $"{ResourceNames.IdOf(outlook.Class.Name)}: earlier 'at risk' withdrawn: all pieces are ready in time with {PlanWords.Percent(outlook.Chance)}. Test by touch first.";
}
