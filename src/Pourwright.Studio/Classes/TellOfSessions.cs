using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Classes;

/// <summary>Tells students and instructors that dates are set, moved or given up, and brings the pieces of the class along with its machine day.</summary>
public sealed class TellOfSessions(Inbox inbox) : InboxConsumer<SessionsChanged>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(SessionsChanged message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx =>
        {
            ReminderStore.Save(tx, SessionNews.Decide(message, Load(tx, message), tx.Now.ToUnixMs()));
            MovePieces(tx, message);
        });

    /// <summary>A machine day that is given up leaves them planned for it: another one may be set.</summary>
    private static void MovePieces(StudioTransaction tx, SessionsChanged message)
    {
        if (message.Changes.FirstOrDefault(change => change.After is { Kind: Kind.Machine, IsLive: true }) is not { Before: { } before, After: { } after }) return;
        if (before.StartMs == after.StartMs) return;
        foreach (var piece in PieceStore.MovePlannedSession(tx, message.CastingClass, before.StartMs, after.StartMs)) PieceForecasts.TellOfSession(tx, piece);
    }

    private static NewsFacts Load(StudioSession session, SessionsChanged message)
    {
        var castingClass = ClassStore.GetClass(session, message.CastingClass);
        return new()
        {
            Class = castingClass,
            Places = Sites(message).Select(site => SiteStore.GetSite(session, site)).ToDictionary(site => site.Name, site => site.DisplayName),
            Seated = StudentStore.GetSeated(session, castingClass.Name),
            Instructors = [.. SessionNews.InstructorsOf(message).Select(name => InstructorStore.GetInstructor(session, name))],
        };
    }

    private static IEnumerable<string> Sites(SessionsChanged message) =>
        message.Changes.SelectMany(change => new[] { change.Before?.Site, change.After.Site }).OfType<string>().Distinct();
}
