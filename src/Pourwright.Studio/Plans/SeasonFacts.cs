using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Sites;

namespace Pourwright.Studio.Plans;

/// <summary>A bench, and what is known of its air from now on.</summary>
public sealed record BenchFacts(BenchRecord Bench, BenchStay Stay);

/// <summary>An offering, and what is known of its resin.</summary>
public sealed record OfferingFacts(OfferingRecord Offering, ResinKnowledge Resin);

/// <summary>Days on which a resin is not poured at a site, first and last included: none of it may be used there.</summary>
public sealed record DryDays(string Site, string ResinSystem, DateOnly First, DateOnly Last);

/// <summary>All that a season is planned from, as of one commit.</summary>
public sealed record SeasonFacts
{
    public required string Studio { get; init; }

    /// <summary>First day on which a pour may lie.</summary>
    public required DateOnly FirstDay { get; init; }

    /// <summary>Days on which a pour may lie.</summary>
    public required int PourDays { get; init; }

    /// <summary>Unix ms.</summary>
    public required long NowMs { get; init; }

    /// <summary>What begins before is settled but for a person who answers for it, Unix ms.</summary>
    public required long SettledMs { get; init; }

    public required IReadOnlyList<SiteRecord> Sites { get; init; }

    public required IReadOnlyList<BenchFacts> Benches { get; init; }

    public required IReadOnlyList<RoomRecord> Rooms { get; init; }

    public required IReadOnlyList<StationRecord> Stations { get; init; }

    public required IReadOnlyList<OutageRecord> Outages { get; init; }

    public required IReadOnlyList<TravelRecord> Travel { get; init; }

    public required IReadOnlyList<OfferingFacts> Offerings { get; init; }

    public required IReadOnlyList<InstructorRecord> Instructors { get; init; }

    public required IReadOnlyList<AbsenceRecord> Absences { get; init; }

    /// <summary>Asked for or confirmed.</summary>
    public required IReadOnlyList<ClassRecord> Classes { get; init; }

    /// <summary>Of the confirmed classes, without cancelled ones.</summary>
    public required IReadOnlyList<SessionRecord> Sessions { get; init; }

    /// <summary>Warmer or colder than everything else says.</summary>
    public IReadOnlyList<AirOffset> Offsets { get; init; } = [];

    public IReadOnlyList<DryDays> Dry { get; init; } = [];

    public PlanTerms Terms { get; init; } = new();

    /// <summary>What stands in the records on which a plan rests: another text where anything of it has changed.</summary>
    public string Fingerprint { get; init; } = "";

    public SiteRecord Site(string name) => Sites.First(site => site.Name == name);

    /// <summary>The sessions of a class by kind.</summary>
    public IReadOnlyList<SessionRecord> SessionsOf(string castingClass) =>
        [.. Sessions.Where(session => session.Class == castingClass).OrderBy(session => session.Kind)];
}
