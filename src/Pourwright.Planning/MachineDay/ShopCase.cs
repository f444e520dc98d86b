namespace Pourwright.Planning.MachineDay;

/// <summary>Jobs that share stages on one day: a job shop, a flexible one, or the second day of a class.</summary>
/// <remarks>Minutes are counted from the start of the day and are whole. Stages and jobs are known by their index.</remarks>
public sealed record ShopCase
{
    private const long MostMinutes = 10_000_000;

    /// <exception cref="ArgumentException">A stage without a place, an operation without a choice, a choice of a stage that is
    /// not there, or minutes outside of what can be solved.</exception>
    public ShopCase(IReadOnlyList<ShopStage> stages, IReadOnlyList<ShopJob> jobs)
    {
        (Stages, Jobs) = (stages, jobs);
        foreach (var stage in stages.Where(s => s.Places < 1))
            throw new ArgumentException($"Stage {stage.Id} has {stage.Places} places; give it one or more, or leave it out.");
        foreach (var job in jobs)
            Check(job);
        var minutes = jobs.Sum(j => j.ReleaseMinutes + j.Operations.Sum(o => (long)o.Choices.Max(c => c.Minutes)));
        if (minutes > MostMinutes)
            throw new ArgumentException($"All minutes add up to {minutes}; {MostMinutes} can be solved: use a coarser unit.");
    }

    public IReadOnlyList<ShopStage> Stages { get; }

    public IReadOnlyList<ShopJob> Jobs { get; }

    private void Check(ShopJob job)
    {
        if (job.ReleaseMinutes < 0)
            throw new ArgumentException($"Job {job.Id} is released at {job.ReleaseMinutes} min; 0 is the start of the day.");
        foreach (var operation in job.Operations)
            Check(job, operation);
    }

    private void Check(ShopJob job, ShopOperation operation)
    {
        if (operation.Choices.Count == 0)
            throw new ArgumentException($"Job {job.Id} has an operation that no stage can do; name a stage, or leave it out.");
        foreach (var (stage, minutes) in operation.Choices)
            if (stage < 0 || stage >= Stages.Count)
                throw new ArgumentException($"Job {job.Id} asks for stage {stage}; stages run from 0 to {Stages.Count - 1}.");
            else if (minutes < 1)
                throw new ArgumentException($"Job {job.Id} takes {minutes} min at stage {Stages[stage].Id}; 1 is the least.");
    }
}

/// <summary>Equal places: one planer, or four seats to sand at.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="Places">Jobs that it takes at once.</param>
public sealed record ShopStage(string Id, int Places = 1);

/// <summary>What passes through the stages.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="ReleaseMinutes">Nothing is done to it before: the time when a piece is surely ready.</param>
/// <param name="Operations">In this order, one after the other.</param>
public sealed record ShopJob(string Id, int ReleaseMinutes, IReadOnlyList<ShopOperation> Operations)
{
    /// <summary>Minutes of work, each operation where it is quickest.</summary>
    public int LeastMinutes => Operations.Sum(o => o.LeastMinutes);
}

/// <summary>One step of a job, without a break.</summary>
/// <param name="Choices">Where it may be done.</param>
public sealed record ShopOperation(IReadOnlyList<ShopChoice> Choices)
{
    public ShopOperation(int stage, int minutes) : this([new(stage, minutes)])
    {
    }

    /// <summary>Minutes where it is quickest.</summary>
    public int LeastMinutes => Choices.Min(c => c.Minutes);
}

/// <summary>A stage that can do an operation, and how long it takes there, in min.</summary>
public sealed record ShopChoice(int Stage, int Minutes);
