using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>One person in two places at once.</summary>
public static class BusyInstructors
{
    /// <summary>A caution for each session of a class whose instructor is wanted elsewhere meanwhile. Cancelled sessions want nobody.</summary>
    public static IEnumerable<Caution> Cautions(IReadOnlyList<SessionRecord> own, IReadOnlyList<SessionRecord> others) =>
        from mine in own
        where mine.IsLive
        from other in others
        where other.IsLive && other.Class != mine.Class && other.Instructor == mine.Instructor
            && other.StartMs < mine.EndMs && other.EndMs > mine.StartMs
        select Refusals.Cautions.Of(Reasons.InstructorBusy,
            $"'{mine.Instructor}' is to teach '{mine.Name}' and '{other.Name}' at one time, from {Instants.Utc(Math.Max(mine.StartMs, other.StartMs))}. Change the instructor of one of them.",
            ("instructor", mine.Instructor), ("session", mine.Name), ("other_session", other.Name),
            ("from_time", Instants.Utc(Math.Max(mine.StartMs, other.StartMs))));
}
