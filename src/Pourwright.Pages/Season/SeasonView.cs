using Pourwright.V1;

namespace Pourwright.Pages.Season;

/// <summary>The sessions of some weeks, a lane a bench.</summary>
/// <param name="First">First day shown, a Monday.</param>
/// <param name="Days">Days shown.</param>
/// <param name="Lanes">Benches, by name; classes without one stand in a lane of their site.</param>
public sealed record SeasonView(DateOnly First, int Days, IReadOnlyList<SeasonLane> Lanes);

/// <summary>A bench, or a site where no bench is said.</summary>
public sealed record SeasonLane(string Title, IReadOnlyList<SeasonClass> Classes);

/// <summary>A class from its first session to its last, in days from the first day shown; may begin before it and end after it.</summary>
public sealed record SeasonClass(string Name, string Title, int FromDay, int ToDay, IReadOnlyList<SeasonSession> Sessions);

/// <summary>A session on its day at its site.</summary>
public sealed record SeasonSession(string Name, Session.Types.Kind Kind, int Day, DateOnly Date, TimeOnly Time, string Instructor);

/// <summary>Lays sessions out as lanes.</summary>
public static class LayLanes
{
    public static SeasonView Lay(DateOnly first, int days, IEnumerable<CastingClass> classes, IReadOnlyDictionary<string, string> titles) => new(first, days,
        [.. classes
            .Select(castingClass => (Class: castingClass, Held: castingClass.Sessions.Where(session => session.State != Session.Types.State.Cancelled).ToList()))
            .Where(entry => entry.Held.Count > 0)
            .GroupBy(entry => entry.Held[0].Bench.Length > 0 ? entry.Held[0].Bench : entry.Held[0].Site, entry => Of(entry.Class, entry.Held, first))
            .Select(lane => new SeasonLane(titles.GetValueOrDefault(lane.Key, lane.Key),
                [.. lane.Where(shown => shown.ToDay >= 0 && shown.FromDay < days).OrderBy(shown => shown.FromDay).ThenBy(shown => shown.Title, StringComparer.Ordinal)]))
            .Where(lane => lane.Classes.Count > 0)
            .OrderBy(lane => lane.Title, StringComparer.Ordinal)]);

    private static SeasonClass Of(CastingClass castingClass, List<Session> held, DateOnly first)
    {
        var sessions = held.Select(session => Of(session, first)).OrderBy(session => session.Day).ToList();
        return new(castingClass.Name, castingClass.DisplayName, sessions[0].Day, sessions[^1].Day, sessions);
    }

    private static SeasonSession Of(Session session, DateOnly first)
    {
        var date = new DateOnly(session.Date.Year, session.Date.Month, session.Date.Day);
        return new(session.Name, session.Kind, date.DayNumber - first.DayNumber, date,
            new(session.StartTimeOfDay.Hours, session.StartTimeOfDay.Minutes), session.Instructor);
    }
}
