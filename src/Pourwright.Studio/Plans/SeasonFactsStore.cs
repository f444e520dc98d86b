using System.Security.Cryptography;
using System.Text;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Plans;

/// <summary>Gathers what a season is planned from.</summary>
public static class SeasonFactsStore
{
    /// <summary>Fits a resin system's data sheet the first time it meets it: not for the writer's thread.</summary>
    /// <exception cref="Refusals.Refusal">STUDIO_NOT_FOUND.</exception>
    public static SeasonFacts Load(
        StudioSession session, string studio, DateOnly firstDay, int pourDays, DateTimeOffset now, ResinModels models, PlanOptions options)
    {
        SiteStore.GetStudio(session, studio);
        var nowMs = now.ToUnixMs();
        var classes = ClassStore.GetOpenClasses(session, studio);
        var held = classes.Where(castingClass => castingClass.State == CastingClass.Types.State.Confirmed).ToDictionary(
            castingClass => castingClass.Name,
            castingClass => ClassStore.GetSessions(session, castingClass.Name).Where(row => row.IsLive).ToArray());
        // A class whose last session is over before the season holds nothing of it any more.
        var sessions = held.Values.Where(rows => rows.Any(row => LocalDays.FromColumn(row.LocalDate) >= firstDay || row.EndMs > nowMs)).SelectMany(rows => rows);
        return new()
        {
            Studio = studio,
            FirstDay = firstDay,
            PourDays = pourDays,
            NowMs = nowMs,
            SettledMs = (now + options.ChangesEndAhead).ToUnixMs(),
            Sites = SiteStore.GetSites(session, studio),
            Benches = [.. SiteStore.GetBenches(session, studio).Select(bench => new BenchFacts(bench, ForecastFactsStore.Stay(session, (bench.Name, nowMs), null, now)))],
            Rooms = SiteStore.GetRooms(session, studio),
            Stations = SiteStore.GetStations(session, studio),
            Outages = SiteStore.GetOutages(session, studio),
            Travel = SiteStore.GetTravel(session, studio),
            Offerings = [.. OfferingStore.GetOfferings(session, studio).Select(offering => new OfferingFacts(
                offering, ResinKnowledge.Load(session, ResinStore.GetResinSystem(session, offering.ResinSystem), models)))],
            Instructors = InstructorStore.GetInstructors(session, studio),
            Absences = InstructorStore.GetAbsences(session, studio),
            Classes = classes,
            Sessions = [.. sessions],
            Offsets = [.. PlanStore.Events(session, studio).Where(happened => happened.KindCase == PlanEvent.KindOneofCase.ColdSnap)
                .Select(happened => MeetEvent.Offset(happened, SiteStore.GetSite(session, happened.ColdSnap.Site))).Where(offset => offset.ToMs > nowMs)],
            Terms = options.Terms,
            Fingerprint = Fingerprint(session, studio),
        };
    }

    /// <summary>Of the records on which a plan rests, without readings and outlooks: another text where any of them has changed.</summary>
    public static string Fingerprint(StudioSession session, string studio)
    {
        var rows = session.Query<string>(
            """
            SELECT 'site ' || name || etag FROM sites WHERE studio = @studio
            UNION ALL SELECT 'bench ' || name || places || coalesce(CAST(planned_temperature_celsius AS TEXT), '') FROM benches WHERE site IN (SELECT name FROM sites WHERE studio = @studio)
            UNION ALL SELECT 'room ' || name || etag FROM rooms WHERE site IN (SELECT name FROM sites WHERE studio = @studio)
            UNION ALL SELECT 'station ' || name || etag FROM stations WHERE site IN (SELECT name FROM sites WHERE studio = @studio)
            UNION ALL SELECT 'outage ' || name || start_ms || ' ' || end_ms FROM outages WHERE site IN (SELECT name FROM sites WHERE studio = @studio)
            UNION ALL SELECT 'travel ' || site_a || site_b || minutes FROM travel WHERE site_a IN (SELECT name FROM sites WHERE studio = @studio)
            UNION ALL SELECT 'offering ' || name || etag FROM offerings WHERE studio = @studio
            UNION ALL SELECT 'instructor ' || name || etag FROM instructors WHERE studio = @studio
            UNION ALL SELECT 'absence ' || name || start_date || end_date FROM absences WHERE instructor IN (SELECT name FROM instructors WHERE studio = @studio)
            UNION ALL SELECT 'class ' || name || state || etag FROM classes WHERE studio = @studio
            UNION ALL SELECT 'session ' || name || sequence || state FROM sessions WHERE class IN (SELECT name FROM classes WHERE studio = @studio)
            UNION ALL SELECT 'plan ' || name || state FROM plans WHERE studio = @studio AND state = 3
            ORDER BY 1
            """, new { studio });
        return Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(string.Join('\n', rows))));
    }

    /// <summary>Where a held lot leaves nothing to pour, and when; nowhere for all else that may happen.</summary>
    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND.</exception>
    public static IReadOnlyList<DryDays> Dry(StudioSession session, PlanEvent happened)
    {
        if (happened.KindCase != PlanEvent.KindOneofCase.LotOnHold) return [];
        var lot = LotStore.GetLot(session, happened.LotOnHold.Lot);
        return lot.ResinSystem is not { } resin ? [] :
        [
            .. SitesWithout(session, lot.Name).Select(site => new DryDays(site, resin, LocalDays.Of(happened.StartDate), LocalDays.Of(happened.EndDate))),
        ];
    }

    /// <summary>Sites that have no container of a lot's resin and part but such of that lot, or on hold, or spent: none of it can be poured there.</summary>
    private static IReadOnlyList<string> SitesWithout(StudioSession session, string lot) => session.Query<string>(
        """
        SELECT s.name FROM sites s JOIN lots l ON l.name = @lot AND l.studio = s.studio
         WHERE NOT EXISTS (
            SELECT 1 FROM containers c
             WHERE c.site = s.name AND c.part = l.part AND c.resin_system IS NOT DISTINCT FROM l.resin_system AND c.state <> 3 AND c.held = 0
               AND c.remaining_mass_mg > 0
               AND NOT EXISTS (
                    SELECT 1 FROM container_events e JOIN lots x ON x.name = e.lot
                     WHERE e.container = c.name AND e.kind = 'received' AND (x.name = l.name OR x.held = 1)))
         ORDER BY s.name
        """, new { lot });
}
