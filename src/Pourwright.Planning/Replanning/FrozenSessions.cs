using Pourwright.Planning.Season;

namespace Pourwright.Planning.Replanning;

/// <summary>Which sessions stay as they are because they have begun, or begin too soon to tell people otherwise.</summary>
/// <param name="nowHours">Elapsed h of the season's clock, see <see cref="SeasonSite.SlotStartHours"/>.</param>
/// <param name="named">Classes that a person will tell: of them only what has begun is frozen.</param>
internal sealed class FrozenSessions(SeasonCase season, double nowHours, double frozenHours, IReadOnlySet<int> named)
{
    public bool IsFrozen(int @class, int site, int slot) => season.Sites[site].SlotStartHours[slot] < FirstHour(@class);

    public bool Any(Placement p) => p.Sessions.Any(session => IsFrozen(p.Class, p.Site, session.Slot));

    public bool All(Placement p) => p.Sessions.All(session => IsFrozen(p.Class, p.Site, session.Slot));

    /// <summary>Whether a session may not be so: it stands otherwise and is frozen, or would begin too soon itself.</summary>
    public bool Forbids(Placement published, int kind, int site, Attendance session)
    {
        var before = published.Sessions.ElementAtOrDefault(kind);
        if (before is not null && before == session && published.Site == site)
            return false;
        return IsFrozen(published.Class, site, session.Slot)
            || before is not null && IsFrozen(published.Class, published.Site, before.Slot);
    }

    private double FirstHour(int @class) => named.Contains(@class) ? nowHours : nowHours + frozenHours;
}
