using System.Globalization;
using Pourwright.Cure.Learning;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>Says once that lots cure more slowly or quickly than the others of their resin.</summary>
public static class LotNews
{
    public static void Apply(StudioTransaction tx, Lesson lesson)
    {
        var piece = PieceStore.GetPiece(tx, lesson.Observation.Piece);
        if (lesson.Pace is { } pace && Decide(piece, lesson.Observation.Lots, pace, ReminderStore.About(tx, Subject(lesson.Observation.Lots)), tx.Now.ToUnixMs()) is { } draft)
        {
            var changes = new ReminderChanges();
            changes.Add(draft);
            ReminderStore.Save(tx, changes);
        }
    }

    /// <summary>What is to be said; null where nothing is, or it was said already.</summary>
    /// <param name="piece">The piece whose check decided it: its site is told.</param>
    /// <param name="lots">Resource names, joined by '+'.</param>
    /// <param name="pace">What is believed of them.</param>
    /// <param name="told">The reminders about the first of these lots.</param>
    /// <param name="nowMs">Now, Unix ms.</param>
    public static ReminderDraft? Decide(PieceRecord piece, string lots, Cure.Learning.LotPace pace, IReadOnlyList<ReminderRecord> told, long nowMs) =>
        pace.Verdict == LotVerdict.Usual || told.Any(r => r.Kind == Reminder.Types.Kind.LotPace && r.Text == Text(lots, pace.Verdict)) ? null : new()
        {
            Studio = piece.Studio,
            Site = piece.Site,
            Kind = Reminder.Types.Kind.LotPace,
            Subject = Subject(lots),
            Text = Text(lots, pace.Verdict),
            RecipientRole = Contact.Types.Role.Owner,
            RemindMs = nowMs,
        };

    private static string Subject(string lots) => lots.Split('+')[0];

    private static string Text(string lots, LotVerdict verdict)
    {
        var names = string.Join(" with ", lots.Split('+').Select(ResourceNames.IdOf));
        return verdict == LotVerdict.Slow
            ? $"Lots {names}: what was poured of them cures more slowly than other lots of the resin, by the checks so far. Their pieces are "
                + "forecast by that. Look at scale, mixing and storage, and pour a test; it is a reason to look, not proof of a bad lot."
            : $"Lots {names}: what was poured of them cures faster than other lots of the resin, by the checks so far, and gets hotter. Pour "
                + "thinner, look after deep pours, and check the label and the ratio; it is a reason to look, not proof of a bad lot.";
    }
}
