using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Classes;

/// <summary>Tells students and instructors that dates are set, moved or given up.</summary>
public sealed class TellOfSessions(Inbox inbox) : InboxConsumer<SessionsChanged>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(SessionsChanged message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx =>
            ReminderStore.Save(tx, SessionNews.Decide(message, Load(tx, message), tx.Now.ToUnixMs())));

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
