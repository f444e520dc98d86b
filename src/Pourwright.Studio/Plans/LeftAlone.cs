using Pourwright.Planning.Season;
using Pourwright.Studio.Classes;
using Kind = Pourwright.V1.Session.Types.Kind;
using LocalDays = Pourwright.Studio.Classes.Days;
using State = Pourwright.V1.CastingClass.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>Classes that have dates which a season cannot hold, such as at two sites: what they take of people and benches is not there for others.</summary>
public sealed class LeftAlone
{
    private readonly IReadOnlyList<Taken> _taken;

    private LeftAlone(IReadOnlyList<Taken> taken) => _taken = taken;

    /// <param name="facts">All classes with their sessions.</param>
    /// <param name="planned">Those that the season knows.</param>
    public static LeftAlone Of(SeasonFacts facts, IReadOnlyList<ClassRecord> planned) => new(
        [.. facts.Classes.Where(castingClass => castingClass.State == State.Confirmed).Except(planned)
            .Select(castingClass => new Taken(castingClass.Pieces, facts.SessionsOf(castingClass.Name)))]);

    /// <summary>Days of a site, with the places on benches that are left from pour to machine day.</summary>
    public IReadOnlyList<SiteDay> Days(IReadOnlyList<SiteDay> days, string site, DateOnly firstDay) => [.. days.Select((day, i) =>
        day with { BenchPlaces = Math.Max(0, day.BenchPlaces - _taken.Sum(taken => taken.PiecesAt(site, firstDay.AddDays(i)))) })];

    /// <summary>A person with the days that are left; a day on which they teach a class of the season stays, whatever else they teach on it.</summary>
    public Instructor Leave(Instructor person, string name, IReadOnlySet<int> teaches, DateOnly firstDay) => person with
    {
        Available = [.. person.Available.Select((isFree, i) =>
            isFree && (teaches.Contains(i) || !_taken.Any(taken => taken.Teaches(name, firstDay.AddDays(i)))))],
    };

    private sealed record Taken(int Pieces, IReadOnlyList<SessionRecord> Sessions)
    {
        public bool Teaches(string instructor, DateOnly day) =>
            Sessions.Any(session => session.Instructor == instructor && LocalDays.FromColumn(session.LocalDate) == day);

        /// <summary>They lie where they were poured.</summary>
        public int PiecesAt(string site, DateOnly day) =>
            Sessions.FirstOrDefault(session => session.Kind == Kind.Pour) is { } pour && pour.Site == site
            && Sessions.FirstOrDefault(session => session.Kind == Kind.Machine) is { } machine
            && LocalDays.FromColumn(pour.LocalDate) <= day && day <= LocalDays.FromColumn(machine.LocalDate) ? Pieces : 0;
    }
}
