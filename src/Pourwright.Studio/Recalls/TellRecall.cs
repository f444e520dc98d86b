using System.Text.Json;
using Pourwright.Studio.Names;
using Pourwright.Studio.Reminders;
using Pourwright.V1;
using Role = Pourwright.V1.RecallNotice.Types.Role;

namespace Pourwright.Studio.Recalls;

/// <summary>One notice a person, and one reminder a notice that can be sent.</summary>
public static class TellRecall
{
    /// <summary>The notices in the order of the list. Who cannot be written to is handed to the owner where nobody answered by the first chase.</summary>
    public static IReadOnlyList<NoticeRecord> Notices(string recall, IReadOnlyList<PersonToTell> people, RecallOptions options, long nowMs) =>
    [
        .. people.Select((person, index) => new NoticeRecord
        {
            Name = ResourceKind.RecallNotice.Under(recall, $"notice-{index + 1}"),
            Recall = recall,
            Position = index + 1,
            Role = person.Role,
            Person = person.Person,
            Recipient = person.Student.Length > 0 ? person.Student : person.Person,
            Email = person.Email,
            Obstacle = person.Obstacle,
            Site = person.Site,
            Pieces = JsonSerializer.Serialize(person.Pieces.Select(piece => piece.Name)),
            ChaseDueMs = nowMs + (long)options.FirstChaseAfter.TotalMilliseconds,
        }),
    ];

    /// <summary>What is said to them. Quiet hours do not hold it back: a soft piece may lie under somebody's bread.</summary>
    /// <param name="people">In the order of <paramref name="notices"/>.</param>
    public static ReminderChanges Decide(
        RecallRecord recall, string studio, RecallList list, IReadOnlyList<PersonToTell> people, IReadOnlyList<NoticeRecord> notices, long nowMs)
    {
        var changes = new ReminderChanges();
        var unreachable = people.Count(person => person is { Role: Role.Maker, IsReachable: false });
        foreach (var (person, notice) in people.Zip(notices).Where(one => one.First.IsReachable))
            changes.Add(Draft(recall, notice, Reminder.Types.Kind.Recall, person.Role == Role.Contact
                ? RecallTexts.ToContact(recall.From, recall.Name, recall.Reason, recall.Starter, list, unreachable)
                : RecallTexts.ToMaker(studio, recall.Name, Labels(person, isHome: true), Labels(person, isHome: false)), safety: true, nowMs));
        return changes;
    }

    /// <summary>A reminder to the person of a notice.</summary>
    public static ReminderDraft Draft(RecallRecord recall, NoticeRecord notice, Reminder.Types.Kind kind, string text, bool safety, long nowMs) => new()
    {
        Studio = recall.Studio,
        Site = notice.Site,
        Kind = kind,
        Subject = notice.Name,
        Text = text,
        RecipientRole = Contact.Types.Role.Unspecified,
        Recipient = notice.Recipient,
        RecipientEmail = notice.Email,
        Safety = safety,
        RemindMs = nowMs,
    };

    private static IReadOnlyList<string> Labels(PersonToTell person, bool isHome) =>
        [.. person.Pieces.Where(piece => piece.State == Piece.Types.State.HandedOver == isHome).Select(piece => piece.Label)];
}
