using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Pourwright.V1;
using LocalDays = Pourwright.Studio.Classes.Days;
using Kind = Pourwright.V1.Session.Types.Kind;

namespace Pourwright.Studio.Plans;

/// <summary>A season as it is planned, and what its indexes stand for.</summary>
/// <param name="Facts">Sites and instructors of the case are these, in their order; so are its offerings, before those of single classes.</param>
/// <param name="Case">What is planned.</param>
/// <param name="Classes">The classes of the case, in its order.</param>
/// <param name="Held">Where the classes are that have their sessions.</param>
/// <param name="Days">The days of each site.</param>
public sealed record PlannedSeason(
    SeasonFacts Facts, SeasonCase Case, IReadOnlyList<ClassRecord> Classes, IReadOnlyList<Placement> Held, IReadOnlyList<SiteDays> Days)
{
    public int SiteIndex(string name) => IndexOf(Facts.Sites, site => site.Name == name);

    public int InstructorIndex(string name) => IndexOf(Facts.Instructors, instructor => instructor.Name == name);

    /// <summary>-1 where the class is not planned in these days.</summary>
    public int ClassIndex(string name) => IndexOf(Classes, castingClass => castingClass.Name == name);

    public OfferingFacts OfferingOf(int castingClass) => Facts.Offerings.First(offering => offering.Offering.Name == Classes[castingClass].Offering);

    /// <summary>A day of the season by the calendar.</summary>
    public DateOnly Date(int day) => Case.FirstDay.AddDays(day);

    /// <summary>Elapsed h from the end of the pour to the machine day.</summary>
    public double GapHours(Placement p) => Case.Sites[p.Site].SlotStartHours[p.Machine.Slot] - Case.Sites[p.Site].SlotEndHours[p.Pour.Slot];

    /// <summary>What its pieces need of that; null where they never get there.</summary>
    public double? LeastHours(Placement p) => Case.Cure.LeastHours(Case.Classes[p.Class].Offering, p.Site, p.Pour.Slot, Case.Classes[p.Class].Pieces);

    /// <summary>Chance that all of its pieces are ready when the machine day begins.</summary>
    public double Chance(Placement p) =>
        Case.Cure.ChanceAllReady(Case.Classes[p.Class].Offering, p.Site, p.Pour.Slot, Case.Classes[p.Class].Pieces, GapHours(p));

    /// <summary>Start of a session, Unix ms.</summary>
    public long StartMs(int site, Attendance session) => Days[site].StartMs[session.Slot];

    /// <summary>An instant in the elapsed h that all sites share.</summary>
    public double HourOf(long ms) => (ms - Days.Min(site => site.StartMs[0])) / 3_600_000.0;

    /// <summary>The sessions of a placement as they are agreed upon: by the clock of the site.</summary>
    public IReadOnlyList<SessionRecord> Sessions(Placement p, string? bench)
    {
        var offering = OfferingOf(p.Class).Offering;
        SessionRecord At(Kind kind, Attendance at, int minutes) => SessionRecord.At(
            Classes[p.Class].Name, kind, Facts.Sites[p.Site], bench, Date(at.Day), Days[p.Site].StartMinute(at.Slot), minutes,
            Facts.Instructors[at.Instructor].Name, Fold.Earlier);
        List<SessionRecord> sessions = [At(Kind.Pour, p.Pour, offering.PourMinutes), At(Kind.Machine, p.Machine, offering.MachineMinutes)];
        if (p.Finish is { } finish) sessions.Add(At(Kind.Finish, finish, offering.FinishMinutes ?? offering.MachineMinutes));
        return sessions;
    }

    /// <summary>Where sessions lie in this season; null where a day, a site or a person of theirs is not in it.</summary>
    public Placement? PlacementOf(int castingClass, IEnumerable<PlacedSessionRecord> sessions)
    {
        var at = sessions.ToDictionary(session => session.Kind, AttendanceOf);
        if (at.GetValueOrDefault(Kind.Pour) is not { } pour || at.GetValueOrDefault(Kind.Machine) is not { } machine) return null;
        if (at.Values.Any(session => session is null || session.Site != pour.Site)) return null;
        return new(castingClass, pour.Site, pour.At, machine.At with { Slot = 2 * machine.At.Day }, at.GetValueOrDefault(Kind.Finish)?.At);
    }

    private SiteAttendance? AttendanceOf(PlacedSessionRecord session)
    {
        var (site, instructor) = (SiteIndex(session.Site), InstructorIndex(session.Instructor));
        var day = LocalDays.FromColumn(session.LocalDate).DayNumber - Case.FirstDay.DayNumber;
        if (site < 0 || instructor < 0 || day < 0 || day >= Case.Days) return null;
        return new(site, new(2 * day + (session.LocalStartMinute < Facts.Sites[site].AfternoonStartMinute ? 0 : 1), instructor));
    }

    private sealed record SiteAttendance(int Site, Attendance At);

    private static int IndexOf<T>(IReadOnlyList<T> all, Func<T, bool> isIt)
    {
        for (var i = 0; i < all.Count; i++)
            if (isIt(all[i])) return i;
        return -1;
    }
}
