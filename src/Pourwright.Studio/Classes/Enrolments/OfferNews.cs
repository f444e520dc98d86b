using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>Who is told of an offered seat: the student, or the owner where the student gets no messages.</summary>
public static class OfferNews
{
    /// <param name="placeOf">What people call a site.</param>
    public static ReminderDraft Decide(EnrolmentRecord offer, ClassSeats seats, StudentRecord student, SiteRecord site, Func<string, string> placeOf) => new()
    {
        Studio = seats.Class.Studio,
        Site = site.Name,
        Kind = Reminder.Types.Kind.SeatOffered,
        Subject = offer.Name,
        Text = student.IsReachable
            ? ClassTexts.SeatOffered(seats.Class, seats.Sessions, offer.OfferExpiresMs!.Value, site.Zone, placeOf)
            : ClassTexts.SeatOfferedUnsaid(seats.Class, offer.Name, offer.OfferExpiresMs!.Value, site.Zone),
        RecipientRole = student.IsReachable ? Contact.Types.Role.Unspecified : Contact.Types.Role.Owner,
        Recipient = student.IsReachable ? student.Name : "",
        RecipientEmail = student.IsReachable ? student.ContactEmail : "",
        RemindMs = seats.NowMs,
    };
}
