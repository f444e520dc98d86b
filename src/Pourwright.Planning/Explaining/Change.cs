using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>One thing that people could do differently, so that a class can be held.</summary>
public abstract record Change
{
    private Change() { }

    /// <summary>The season and the plan with the change made.</summary>
    /// <param name="before">Neither is changed itself.</param>
    /// <param name="warming">Asked by <see cref="WarmRoom"/> alone, which cannot be without.</param>
    public abstract ChangedSeason MadeIn(ChangedSeason before, IWarming? warming);

    /// <summary>Let the class meet on a further weekday.</summary>
    public sealed record AllowWeekday(int Class, DayOfWeek Weekday) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithClass(Class, c => c with { Weekdays = new HashSet<DayOfWeek>(c.Weekdays) { Weekday } });
    }

    /// <summary>Let the class pour on another day than asked for.</summary>
    public sealed record AllowPourDay(int Class, int Day) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithClass(Class, c => c with { FirstDay = Math.Min(c.FirstDay, Day), LastDay = Math.Max(c.LastDay, Day) });
    }

    /// <summary>Hold the class at a site that it did not ask for.</summary>
    public sealed record HoldAt(int Class, int Site) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithClass(Class, c => c with { Sites = [.. c.Sites, Site] });
    }

    /// <summary>Let the pieces of this class lie longer than its offering says.</summary>
    public sealed record LieLonger(int Class, int Days) : Change
    {
        // A season knows one number for the whole offering.
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithOffering(before.Season.Classes[Class].Offering, offering => offering with { LongestGapDays = Days });
    }

    /// <summary>Open the site on a day when it is closed.</summary>
    public sealed record OpenSite(int Site, int Day) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithDays(Site, Day, Day, day => day with { Open = true });
    }

    /// <summary>Room for so many more pieces to cure.</summary>
    public sealed record AddBenchPlaces(int Site, int FirstDay, int LastDay, int Places) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithDays(Site, FirstDay, LastDay, day => day with { BenchPlaces = day.BenchPlaces + Places });
    }

    /// <summary>Longer hours of the planers, or one more.</summary>
    public sealed record AddPlanerMinutes(int Site, int Day, int Minutes) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithDays(Site, Day, Day, day => day with { PlanerMinutes = day.PlanerMinutes + Minutes });
    }

    /// <summary>Longer hours of the saws, or one more.</summary>
    public sealed record AddSawMinutes(int Site, int Day, int Minutes) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithDays(Site, Day, Day, day => day with { SawMinutes = day.SawMinutes + Minutes });
    }

    /// <summary>So many more places to sand at.</summary>
    public sealed record AddSandingPlaces(int Site, int Day, int Places) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithDays(Site, Day, Day, day => day with { SandingPlaces = day.SandingPlaces + Places });
    }

    /// <summary>A further room to teach in, borrowed or freed, on these days.</summary>
    public sealed record AddRoom(int Site, int Seats, IReadOnlyList<int> Days) : Change
    {
        // A season knows no rooms by the day: tried with a room on all of them.
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithSite(Site, site => site with { RoomSeats = [.. site.RoomSeats, Seats] });
    }

    /// <summary>Hold the cure room warmer, as far as everything that cures there allows.</summary>
    /// <param name="NeededHours">Least gap of the class as the room is.</param>
    /// <param name="Warming">The smallest step of half a K that does.</param>
    public sealed record WarmRoom(int Class, double? NeededHours, double GapHours, RoomWarming Warming) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before with { Season = before.Season with { Cure = warming!.Warmed(Warming) } };
    }

    /// <summary>Let somebody teach what they do not teach yet: after whatever it takes to learn it.</summary>
    public sealed record Qualify(int Instructor, int Offering) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithInstructor(Instructor, i => i with { Offerings = new HashSet<int>(i.Offerings) { Offering } });
    }

    /// <summary>Ask somebody to come on a day off.</summary>
    public sealed record CallIn(int Instructor, int Day) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithInstructor(Instructor, i => i with { Available = [.. i.Available.Select((free, day) => free || day == Day)] });
    }

    /// <summary>Ask somebody to travel farther than they wish to.</summary>
    public sealed record SendFarther(int Instructor, int Site, int Minutes) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithInstructor(Instructor, i => i with { FarthestMinutes = Minutes });
    }

    /// <summary>Ask somebody to teach more days in a week.</summary>
    /// <param name="FirstDays">Of each of these weeks the first day on which they teach.</param>
    /// <param name="Days">Of the fullest of them.</param>
    public sealed record TeachMoreDays(int Instructor, IReadOnlyList<int> FirstDays, int Days) : Change
    {
        // A season knows one number for all weeks.
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before.WithInstructor(Instructor, i => i with { DaysAWeek = Math.Max(i.DaysAWeek, Days) });
    }

    /// <summary>Find a further instructor, who lives near, for these days.</summary>
    /// <param name="Instructor">The index that the guest takes, behind all others.</param>
    public sealed record InviteGuest(int Instructor, int Site, int Offering, IReadOnlyList<int> Days) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) => before.WithGuest(new(
            "guest", new HashSet<int> { Offering }, Site,
            [.. Enumerable.Range(0, before.Season.Days).Select(Days.Contains)], Days.Count, 0));
    }

    /// <summary>Hold a class that is planned already elsewhere or at another time.</summary>
    public sealed record MoveClass(Placement From, Placement To) : Change
    {
        public override ChangedSeason MadeIn(ChangedSeason before, IWarming? warming) =>
            before with { Plan = new([.. before.Plan.Placed.Select(p => p.Class == To.Class ? To : p)]) };
    }
}
