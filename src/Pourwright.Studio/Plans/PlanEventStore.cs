using Pourwright.Studio.Instructors;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Event = Pourwright.V1.PlanEvent.KindOneofCase;

namespace Pourwright.Studio.Plans;

/// <summary>Looks up what an event names.</summary>
internal static class PlanEventStore
{
    /// <summary>That it is there.</summary>
    /// <exception cref="Refusals.Refusal">NOT_FOUND with the reason of its kind.</exception>
    public static bool Check(StudioSession session, PlanEvent happened) => happened.KindCase switch
    {
        Event.InstructorAway => InstructorStore.GetInstructor(session, happened.InstructorAway.Instructor) is not null,
        Event.SiteClosed => SiteStore.GetSite(session, happened.SiteClosed.Site) is not null,
        Event.StationDown => SiteStore.GetStation(session, happened.StationDown.Station) is not null,
        Event.ColdSnap => SiteStore.GetSite(session, happened.ColdSnap.Site) is not null,
        _ => LotStore.GetLot(session, happened.LotOnHold.Lot) is not null,
    };
}
