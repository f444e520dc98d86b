namespace Pourwright.Planning.MachineDay;

/// <summary>When and where each operation is done.</summary>
/// <param name="Runs">One an operation, by job and operation.</param>
/// <param name="LowerBoundMinutes">No schedule ends before: proved.</param>
public sealed record ShopSchedule(IReadOnlyList<ShopRun> Runs, int LowerBoundMinutes)
{
    /// <summary>Minutes from the start of the day until the last operation ends.</summary>
    public int MakespanMinutes => Runs.Select(r => r.EndMinutes).DefaultIfEmpty(0).Max();

    /// <summary>Whether nothing shorter exists.</summary>
    public bool IsProved => MakespanMinutes == LowerBoundMinutes;
}

/// <summary>One operation in a schedule.</summary>
/// <param name="Job">Which.</param>
/// <param name="Operation">Which of the job.</param>
/// <param name="Stage">Where.</param>
/// <param name="Place">Which of the stage's places, from 0.</param>
/// <param name="StartMinutes">From the start of the day.</param>
/// <param name="EndMinutes">The place is free again.</param>
public sealed record ShopRun(int Job, int Operation, int Stage, int Place, int StartMinutes, int EndMinutes);
