using System.Globalization;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Event = Pourwright.V1.PlanEvent.KindOneofCase;
using LocalDays = Pourwright.Studio.Classes.Days;

namespace Pourwright.Studio.Plans;

/// <summary>What something that happened means for a season, and which records it leaves.</summary>
internal static class MeetEvent
{
    private const int MostDays = 92;

    /// <summary>Exactly one thing, on days that are days.</summary>
    public static void Check(FieldChecks checks, PlanEvent? happened, string studio)
    {
        const string path = "event";
        checks.Require(happened is { KindCase: not Event.None }, path, "must say what happened.").ThrowIfAny();
        checks.Day($"{path}.start_date", happened!.StartDate, required: true).Day($"{path}.end_date", happened.EndDate, required: true).ThrowIfAny();
        var days = LocalDays.Of(happened.EndDate).DayNumber - LocalDays.Of(happened.StartDate).DayNumber + 1;
        checks.Require(days is >= 1 and <= MostDays, $"{path}.end_date", $"must be the start date or up to {MostDays - 1} days later.");
        switch (happened.KindCase)
        {
            case Event.InstructorAway:
                checks.Name($"{path}.instructor_away.instructor", happened.InstructorAway.Instructor, ResourceKind.Instructor, studio);
                break;
            case Event.SiteClosed:
                checks.Name($"{path}.site_closed.site", happened.SiteClosed.Site, ResourceKind.Site, studio);
                break;
            case Event.StationDown:
                checks.Name($"{path}.station_down.station", happened.StationDown.Station, ResourceKind.Station, studio);
                break;
            case Event.ColdSnap:
                checks.Name($"{path}.cold_snap.site", happened.ColdSnap.Site, ResourceKind.Site, studio)
                    .Within($"{path}.cold_snap.offset_celsius", happened.ColdSnap.OffsetCelsius, -20, 20, "°C");
                break;
            default:
                checks.Name($"{path}.lot_on_hold.lot", happened.LotOnHold.Lot, ResourceKind.Lot, studio);
                break;
        }
    }

    /// <summary>The site where it happened, of which the clock counts; empty where it is no site's.</summary>
    public static string SiteOf(PlanEvent happened) => happened.KindCase switch
    {
        Event.SiteClosed => happened.SiteClosed.Site,
        Event.StationDown => ResourceNames.SiteOf(happened.StationDown.Station),
        Event.ColdSnap => happened.ColdSnap.Site,
        _ => "",
    };

    /// <summary>The season as it is with what happened.</summary>
    /// <param name="facts">Without it.</param>
    /// <param name="happened">What.</param>
    /// <param name="dry">Where a held lot leaves nothing to pour; empty for all else.</param>
    public static SeasonFacts Decide(SeasonFacts facts, PlanEvent happened, IReadOnlyList<DryDays> dry) => happened.KindCase switch
    {
        Event.InstructorAway => facts with { Absences = [.. facts.Absences, Absence(happened, "")] },
        Event.SiteClosed or Event.StationDown => facts with { Outages = [.. facts.Outages, Outage(happened, "", facts.Site(SiteOf(happened)))] },
        Event.ColdSnap => facts with { Offsets = [.. facts.Offsets, Offset(happened, facts.Site(SiteOf(happened)))] },
        _ => facts with { Dry = [.. facts.Dry, .. dry] },
    };

    /// <summary>The absence that it is.</summary>
    public static AbsenceRecord Absence(PlanEvent happened, string name) => new()
    {
        Name = name,
        Instructor = happened.InstructorAway.Instructor,
        StartDate = LocalDays.ToColumn(LocalDays.Of(happened.StartDate)),
        EndDate = LocalDays.ToColumn(LocalDays.Of(happened.EndDate)),
        Reason = "",
    };

    /// <summary>The outage that it is, from midnight to midnight.</summary>
    public static OutageRecord Outage(PlanEvent happened, string name, SiteRecord site)
    {
        var (startMs, endMs) = Span(happened, site);
        var station = happened.KindCase == Event.StationDown ? happened.StationDown.Station : null;
        return new()
        {
            Name = name, Site = site.Name, Station = station, Bench = null, StartMs = startMs, EndMs = endMs,
            Reason = station is null ? "closed" : "out of use",
        };
    }

    /// <summary>The change of the air that it is.</summary>
    public static AirOffset Offset(PlanEvent happened, SiteRecord site)
    {
        var (startMs, endMs) = Span(happened, site);
        return new(site.Name, happened.ColdSnap.OffsetCelsius, startMs, endMs);
    }

    /// <summary>In words that go on after "because".</summary>
    public static string Words(PlanEvent happened)
    {
        var what = happened.KindCase switch
        {
            Event.InstructorAway => $"{ResourceNames.IdOf(happened.InstructorAway.Instructor)} is away",
            Event.SiteClosed => $"{ResourceNames.IdOf(happened.SiteClosed.Site)} is closed",
            Event.StationDown => $"{ResourceNames.IdOf(happened.StationDown.Station)} at {ResourceNames.IdOf(SiteOf(happened))} is out of use",
            Event.ColdSnap => string.Create(CultureInfo.InvariantCulture,
                $"the rooms at {ResourceNames.IdOf(happened.ColdSnap.Site)} are {Math.Abs(happened.ColdSnap.OffsetCelsius):0.#} °C {(happened.ColdSnap.OffsetCelsius < 0 ? "colder" : "warmer")}"),
            _ => $"lot {ResourceNames.IdOf(happened.LotOnHold.Lot)} is on hold",
        };
        var (first, last) = (PlanWords.Day(LocalDays.Of(happened.StartDate)), PlanWords.Day(LocalDays.Of(happened.EndDate)));
        return first == last ? $"{what} on {first}" : $"{what} from {first} to {last}";
    }

    private static (long StartMs, long EndMs) Span(PlanEvent happened, SiteRecord site) => (
        LocalTimes.Nearest(site.TimeZone, LocalDays.Of(happened.StartDate), 0).UtcMs,
        LocalTimes.Nearest(site.TimeZone, LocalDays.Of(happened.EndDate).AddDays(1), 0).UtcMs);
}
