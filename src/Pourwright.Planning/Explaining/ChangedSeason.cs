using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>A season and its plan, with changes made to try them.</summary>
public sealed record ChangedSeason(SeasonCase Season, ClassPlan Plan)
{
    /// <summary>Makes all changes and adds the class where they are for.</summary>
    public static ChangedSeason Of(SeasonCase season, ClassPlan plan, Proposal proposal, IWarming? warming)
    {
        var changed = proposal.Changes.Aggregate(new ChangedSeason(season, plan), (before, change) => change.MadeIn(before, warming));
        return changed with { Plan = new([.. changed.Plan.Placed.Where(p => p.Class != proposal.Placement.Class), proposal.Placement]) };
    }

    /// <summary>What the class and those moved for it break: nothing where the changes do what they are for.</summary>
    public IReadOnlyList<PlanFault> FaultsOf(IReadOnlyCollection<int> classes) =>
        [.. PlanChecker.Check(Season, Plan).Where(fault => fault.Classes.Any(classes.Contains))];

    internal ChangedSeason WithClass(int @class, Func<ClassRequest, ClassRequest> change) =>
        this with { Season = Season with { Classes = Replaced(Season.Classes, @class, change) } };

    internal ChangedSeason WithInstructor(int instructor, Func<Instructor, Instructor> change) =>
        this with { Season = Season with { Instructors = Replaced(Season.Instructors, instructor, change) } };

    internal ChangedSeason WithGuest(Instructor guest) =>
        this with { Season = Season with { Instructors = [.. Season.Instructors, guest] } };

    internal ChangedSeason WithSite(int site, Func<SeasonSite, SeasonSite> change) =>
        this with { Season = Season with { Sites = Replaced(Season.Sites, site, change) } };

    internal ChangedSeason WithDays(int site, int firstDay, int lastDay, Func<SiteDay, SiteDay> change) => WithSite(site, s => s with
    {
        Days = [.. s.Days.Select((day, at) => at >= firstDay && at <= lastDay ? change(day) : day)],
    });

    internal ChangedSeason WithOffering(int offering, Func<Offering, Offering> change) =>
        this with { Season = Season with { Offerings = Replaced(Season.Offerings, offering, change) } };

    private static T[] Replaced<T>(IReadOnlyList<T> all, int index, Func<T, T> change) =>
        [.. all.Select((one, at) => at == index ? change(one) : one)];
}
