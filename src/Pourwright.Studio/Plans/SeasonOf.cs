using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Sites;
using DayOfWeek = System.DayOfWeek;
using LocalDays = Pourwright.Studio.Classes.Days;
using State = Pourwright.V1.CastingClass.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>How classes enter a season that have their sessions already.</summary>
public enum HeldClasses
{
    /// <summary>They stay where they are.</summary>
    Stay,

    /// <summary>They may be held in any way that was asked for, and as they are.</summary>
    MayMove,
}

/// <summary>From records to a season that can be planned.</summary>
public static class SeasonOf
{
    /// <summary>A way that nobody goes, in min: farther than anybody.</summary>
    private const int NoWayMinutes = 100_000;

    private const double HourMs = 3_600_000;
    private const int MostTailDays = 92;

    private static readonly IReadOnlySet<DayOfWeek> AllWeek = Enum.GetValues<DayOfWeek>().ToHashSet();

    /// <summary>The season of a plan. The cure is asked later, and by whoever asks.</summary>
    /// <exception cref="Refusals.Refusal">LOCAL_TIME_MISSING where a site teaches at a time that clocks skip.</exception>
    public static PlannedSeason Decide(SeasonFacts facts, CureScenarios scenarios, HeldClasses held)
    {
        var first = FirstDay(facts);
        var days = LastDay(facts).DayNumber - first.DayNumber + 1;
        SiteDays[] sites = [.. facts.Sites.Select(site => new SiteDays(facts, site, first, days))];
        var bare = new PlannedSeason(facts, Bare(facts, first, days, sites), [], [], sites);
        ClassRecord[] classes = [.. facts.Classes.Where(castingClass => castingClass.State == State.Confirmed
            ? PlacementOf(bare, 0, castingClass) is not null : Window(facts, castingClass) is not null)];
        bare = bare with { Classes = classes };
        Placement[] placed = [.. classes.Select((castingClass, i) => PlacementOf(bare, i, castingClass)).OfType<Placement>()];
        var pinned = held == HeldClasses.Stay ? placed : [];
        var leftAlone = LeftAlone.Of(facts, classes);
        var season = bare.Case with
        {
            Sites = [.. bare.Case.Sites.Select((site, i) => site with { Days = leftAlone.Days(site.Days, facts.Sites[i].Name, first) })],
            Offerings = [.. facts.Offerings.Select(Of), .. pinned.Select(p => Alone(bare, p))],
            Instructors = [.. facts.Instructors.Select((who, i) => leftAlone.Leave(Of(facts, who, i, bare, pinned), who.Name, DaysOf(placed, i), first))],
            Classes = [.. classes.Select((castingClass, i) => Request(bare, i, placed.FirstOrDefault(p => p.Class == i), Array.FindIndex(pinned, p => p.Class == i)))],
            Cure = new SeasonCure(facts, scenarios, first, sites, [.. pinned.Select(p => new SeasonCure.Pinned(p.Site, p.Pour.Slot, bare.GapHours(p)))]),
        };
        return bare with { Case = season, Held = placed };
    }

    private static HashSet<int> DaysOf(IEnumerable<Placement> placed, int instructor) =>
        [.. placed.SelectMany(p => p.Sessions).Where(session => session.Instructor == instructor).Select(session => session.Day)];

    // Sessions that people set may lie at several sites: such a class is left alone, and takes people's days and places on benches.
    private static Placement? PlacementOf(PlannedSeason bare, int index, ClassRecord castingClass) =>
        bare.PlacementOf(index, bare.Facts.SessionsOf(castingClass.Name).Select(PlacedSessionRecord.Of));

    /// <summary>Why a class is not planned in these days; null where it is.</summary>
    public static string? LeftOut(SeasonFacts facts, ClassRecord castingClass) =>
        castingClass.State == State.Requested && Window(facts, castingClass) is null
            ? $"The days asked for its pour, {castingClass.FirstDate} to {castingClass.LastDate}, lie outside of those that are planned."
            : null;

    private static SeasonCase Bare(SeasonFacts facts, DateOnly first, int days, SiteDays[] sites) => new()
    {
        FirstDay = first,
        Days = days,
        Sites = [.. facts.Sites.Select((site, i) => Of(facts, site, sites[i], sites))],
        Offerings = [],
        Instructors = [],
        Classes = [],
        TravelMinutes = [.. facts.Sites.Select(from => (IReadOnlyList<int>)[.. facts.Sites.Select(to => Travel(facts, from.Name, to.Name))])],
        Cure = Unasked.Cure,
        Terms = facts.Terms,
    };

    private static SeasonSite Of(SeasonFacts facts, SiteRecord site, SiteDays days, SiteDays[] all)
    {
        var zeroMs = all.Min(other => other.StartMs[0]);
        double[] Hours(IEnumerable<long> instants) => [.. instants.Select(ms => (ms - zeroMs) / HourMs)];
        return new(
            Names.ResourceNames.IdOf(site.Name), [.. facts.Rooms.Where(room => room.Site == site.Name).Select(room => room.Seats)],
            days.Days, Hours(days.StartMs), Hours(days.EndMs));
    }

    private static Offering Of(OfferingFacts facts) => new(
        Names.ResourceNames.IdOf(facts.Offering.Name), facts.Offering.PlanerMinutesPerPiece, facts.Offering.SawMinutesPerPiece, facts.Offering.LongestGapDays,
        facts.Offering.FinishWithinDays is { } within ? new((facts.Offering.FinishAfterMs ?? 0) / HourMs, within) : null);

    /// <summary>The offering of one class alone, which leaves its days no choice.</summary>
    private static Offering Alone(PlannedSeason bare, Placement p)
    {
        var (offering, hours) = (Of(bare.OfferingOf(p.Class)), bare.Case.Sites[p.Site]);
        return offering with
        {
            Id = $"{offering.Id} as it is",
            LongestGapDays = p.Machine.Day - p.Pour.Day,
            Finish = p.Finish is { } finish
                ? new(hours.SlotStartHours[finish.Slot] - hours.SlotEndHours[p.Machine.Slot + 1], finish.Day - p.Machine.Day)
                : null,
        };
    }

    private static Instructor Of(SeasonFacts facts, InstructorRecord who, int index, PlannedSeason bare, Placement[] pinned)
    {
        var weekdays = Weekdays.Set(who.Weekdays);
        var away = facts.Absences.Where(absence => absence.Instructor == who.Name).ToArray();
        var taught = Enumerable.Range(0, facts.Offerings.Count).Where(offering => who.Offerings.Contains(facts.Offerings[offering].Offering.Name));
        var own = Enumerable.Range(0, pinned.Length).Where(i => pinned[i].Sessions.Any(session => session.Instructor == index)).Select(i => facts.Offerings.Count + i);
        return new(
            Names.ResourceNames.IdOf(who.Name), taught.Concat(own).ToHashSet(), bare.SiteIndex(who.HomeSite),
            [.. Enumerable.Range(0, bare.Case.Days).Select(bare.Date).Select(date =>
                weekdays.Contains(date.DayOfWeek) && !away.Any(absence => absence.Start() <= date && date <= absence.End()))],
            who.DaysAWeek, who.FarthestMinutes);
    }

    private static ClassRequest Request(PlannedSeason bare, int index, Placement? held, int pin)
    {
        var (facts, castingClass) = (bare.Facts, bare.Classes[index]);
        int Day(DateOnly date) => date.DayNumber - bare.Case.FirstDay.DayNumber;
        var window = Window(facts, castingClass);
        var favourite = castingClass.FavouriteDate is { } date ? LocalDays.FromColumn(date) : LocalDays.FromColumn(castingClass.FirstDate);
        var request = new ClassRequest(
            Names.ResourceNames.IdOf(castingClass.Name), facts.Offerings.ToList().FindIndex(offering => offering.Offering.Name == castingClass.Offering),
            castingClass.Seats, castingClass.Pieces, [.. castingClass.Sites.Select(bare.SiteIndex)],
            Day(window?.First ?? favourite), Day(window?.Last ?? favourite), Weekdays.Set(castingClass.Weekdays), Day(favourite));
        if (held is null) return request;
        if (pin >= 0) return AsItIs(request, held) with { Offering = facts.Offerings.Count + pin };
        return HasBegun(bare, held) ? AsItIs(request, held) : request with
        {
            Sites = [.. request.Sites.Append(held.Site).Distinct()],
            FirstDay = window is null ? held.Pour.Day : Math.Min(request.FirstDay, held.Pour.Day),
            LastDay = window is null ? held.Pour.Day : Math.Max(request.LastDay, held.Pour.Day),
            Weekdays = request.Weekdays.Concat(held.Sessions.Select(session => bare.Case.Weekday(session.Day))).ToHashSet(),
        };
    }

    // Where the pour is over, or close at hand, only what follows may move, on any weekday.
    private static ClassRequest AsItIs(ClassRequest request, Placement held) => request with
    {
        Sites = [held.Site], FirstDay = held.Pour.Day, LastDay = held.Pour.Day, FavouriteDay = held.Pour.Day, Weekdays = AllWeek,
    };

    private static bool HasBegun(PlannedSeason bare, Placement held) =>
        bare.StartMs(held.Site, held.Pour) < bare.Facts.SettledMs;

    /// <summary>Days on which the pour may lie: asked for, planned, and far enough away. Null where there is none.</summary>
    private static (DateOnly First, DateOnly Last)? Window(SeasonFacts facts, ClassRecord castingClass)
    {
        var soonest = DateOnly.FromDateTime(DateTimeOffset.FromUnixTimeMilliseconds(facts.SettledMs).UtcDateTime).AddDays(1);
        DateOnly[] firsts = [LocalDays.FromColumn(castingClass.FirstDate), facts.FirstDay, soonest];
        DateOnly[] lasts = [LocalDays.FromColumn(castingClass.LastDate), facts.FirstDay.AddDays(facts.PourDays - 1)];
        return firsts.Max() is var first && lasts.Min() is var last && first <= last ? (first, last) : null;
    }

    private static DateOnly FirstDay(SeasonFacts facts) =>
        facts.Sessions.Select(session => LocalDays.FromColumn(session.LocalDate)).Append(facts.FirstDay).Min();

    private static DateOnly LastDay(SeasonFacts facts)
    {
        var tail = facts.Offerings.Select(offering => offering.Offering.LongestGapDays + (offering.Offering.FinishWithinDays ?? 0)).DefaultIfEmpty(0).Max();
        return facts.Sessions.Select(session => LocalDays.FromColumn(session.LocalDate))
            .Append(facts.FirstDay.AddDays(facts.PourDays - 1 + Math.Min(tail, MostTailDays))).Max();
    }

    private static int Travel(SeasonFacts facts, string from, string to) => from == to ? 0 : facts.Travel
        .FirstOrDefault(way => (way.SiteA == from && way.SiteB == to) || (way.SiteA == to && way.SiteB == from))?.Minutes ?? NoWayMinutes;

    /// <summary>Stands for the cure until it can be asked.</summary>
    private sealed class Unasked : ICureGaps
    {
        public static readonly Unasked Cure = new();

        public double? LeastHours(int offering, int site, int pourSlot, int pieces) => throw new InvalidOperationException("The cure of a bare season is not asked.");

        public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours) => LeastHours(offering, site, pourSlot, pieces) ?? 0;
    }
}
