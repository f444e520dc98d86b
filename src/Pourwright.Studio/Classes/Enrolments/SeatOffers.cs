using Pourwright.Studio.Offerings;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>Keeps what was decided of a seat, tells who must know, and offers what got free.</summary>
public static class SeatOffers
{
    public static ClassSeats Load(StudioSession session, string castingClass, long nowMs, ClassOptions options)
    {
        var row = ClassStore.GetClass(session, castingClass);
        return new()
        {
            Class = row,
            Sessions = ClassStore.GetSessions(session, castingClass),
            Enrolments = StudentStore.GetEnrolments(session, castingClass),
            MouldPrepDays = OfferingStore.GetOffering(session, row.Offering).MouldPrepDays,
            Options = options,
            NowMs = nowMs,
        };
    }

    /// <summary>Keeps an enrolment's new state. What was said of an offer before is settled; a new offer is told.</summary>
    public static void Save(StudioTransaction tx, EnrolmentRecord enrolment, ClassSeats seats)
    {
        StudentStore.UpdateEnrolment(tx, enrolment);
        var changes = Settle(tx, [enrolment.Name]);
        if (enrolment.State == State.Offered) changes.Add(Tell(tx, enrolment, seats));
        ReminderStore.Save(tx, changes);
    }

    /// <summary>A class is given up: what was said of offers in it is not true any more, and does not go out.</summary>
    public static void Silence(StudioTransaction tx, string castingClass) => ReminderStore.Save(tx, Settle(
        tx, StudentStore.GetEnrolments(tx, castingClass).Where(one => one.State == State.Offered).Select(one => one.Name)));

    /// <summary>Offers the seats of a class that are free, where that goes by itself.</summary>
    public static void OfferFree(StudioTransaction tx, string castingClass, ClassOptions options)
    {
        var seats = Load(tx, castingClass, tx.Now.ToUnixMs(), options);
        foreach (var offer in OfferSeats.Decide(seats)) Save(tx, offer, seats);
    }

    private static ReminderChanges Settle(StudioTransaction tx, IEnumerable<string> enrolments)
    {
        var changes = new ReminderChanges();
        foreach (var told in enrolments.SelectMany(name => ReminderStore.About(tx, name)).Where(reminder => reminder.IsLive))
            changes.Drop(told, "settled");
        return changes;
    }

    private static ReminderDraft Tell(StudioTransaction tx, EnrolmentRecord offer, ClassSeats seats)
    {
        var student = StudentStore.GetStudent(tx, offer.Student);
        var site = SiteStore.GetSite(tx, seats.Pour?.Site ?? seats.Class.Sites[0]);
        return OfferNews.Decide(offer, seats, student, site, name => SiteStore.GetSite(tx, name).DisplayName);
    }
}
