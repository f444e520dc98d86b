using Pourwright.Studio.Names;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using Kind = Pourwright.V1.PrepTask.Types.Kind;

namespace Pourwright.Studio.Classes.Prep;

/// <summary>What must be ready before a pour, and by when.</summary>
/// <remarks>
/// Sealant in the seams of a mould cures overnight, so that moulds are due at least the day before, and are tried for leaks on the
/// day itself. Common practice, no source; the days come from the offering, the hours from the node's settings.
/// </remarks>
public static class PrepTasks
{
    private static readonly (Kind Kind, string Id)[] All =
        [(Kind.MouldBuild, "mould-build"), (Kind.LeakCheck, "leak-check"), (Kind.WoodMetering, "wood-metering"), (Kind.LotsWarmed, "lots-warmed")];

    /// <summary>The tasks of a class after its pour was set; what is done stays done, what is open moves with the pour.</summary>
    public static IReadOnlyList<PrepTaskRecord> Decide(
        SessionRecord pour, int mouldPrepDays, IReadOnlyList<PrepTaskRecord> before, ClassOptions options)
    {
        var done = before.Where(task => task.DoneMs is not null).ToDictionary(task => task.Kind);
        return [.. All.Select(task => done.GetValueOrDefault(task.Kind) ?? new PrepTaskRecord
        {
            Name = ResourceKind.PrepTask.Under(pour.Class, task.Id),
            Class = pour.Class,
            Site = pour.Site,
            Kind = task.Kind,
            DueMs = DueMs(task.Kind, pour, mouldPrepDays, options),
        })];
    }

    /// <summary>Who did it first stays.</summary>
    public static PrepTaskRecord Complete(PrepTaskRecord task, string worker, long doneMs) =>
        task.DoneMs is null ? task with { DoneMs = doneMs, DoneBy = worker } : task;

    /// <summary>From when on a freed seat costs preparation: the earlier of moulds and wood, Unix ms.</summary>
    public static long PrepDueMs(SessionRecord pour, int mouldPrepDays, ClassOptions options) => Math.Min(
        DueMs(Kind.MouldBuild, pour, mouldPrepDays, options), DueMs(Kind.WoodMetering, pour, mouldPrepDays, options));

    private static long DueMs(Kind kind, SessionRecord pour, int mouldPrepDays, ClassOptions options) => kind switch
    {
        Kind.MouldBuild => DayBefore(pour, mouldPrepDays, options),
        Kind.WoodMetering => DayBefore(pour, options.WoodMeteringDays, options),
        Kind.LeakCheck => pour.StartMs - (long)options.LeakCheckAhead.TotalMilliseconds,
        _ => pour.StartMs - (long)options.LotsWarmedAhead.TotalMilliseconds,
    };

    /// <summary>Never after the pour begins, where a setting says the day itself.</summary>
    private static long DayBefore(SessionRecord pour, int days, ClassOptions options) => Math.Min(
        pour.StartMs,
        LocalTimes.Nearest(pour.TimeZone, Days.FromColumn(pour.LocalDate).AddDays(-days), options.PrepDueMinute).UtcMs);
}
