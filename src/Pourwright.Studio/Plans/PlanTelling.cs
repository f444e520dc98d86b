using System.Threading.Channels;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Planning.Solving;
using PlanProgress = Pourwright.V1.PlanProgress;
using Stage = Pourwright.V1.PlanProgress.Types.Stage;

namespace Pourwright.Studio.Plans;

/// <summary>Tells a client how planning stands, from whatever thread it is at work on.</summary>
internal sealed class PlanTelling(TimeProvider clock) : IProgress<Planning.Solving.PlanProgress>
{
    private readonly Channel<PlanProgress> _told = Channel.CreateUnbounded<PlanProgress>();
    private readonly long _since = clock.GetTimestamp();
    private Planning.Solving.PlanProgress? _last;

    /// <summary>Something in words, with the last that was found.</summary>
    public void Say(Stage stage, string text) => _told.Writer.TryWrite(Now(stage, text));

    /// <inheritdoc/>
    public void Report(Planning.Solving.PlanProgress value)
    {
        _last = value;
        Say(StageOf(value.Stage), value.Students == value.StudentsBound
            ? $"{value.Classes} classes, {value.Students} students: no plan holds more; {value.Points} points."
            : $"{value.Classes} classes, {value.Students} students of at most {value.StudentsBound}; {value.Points} points.");
    }

    /// <summary>The last message of a season.</summary>
    public PlanProgress Done(V1.Plan plan)
    {
        var progress = Now(Stage.Done, $"{plan.ClassCount} classes, {plan.StudentCount} students.");
        (progress.Plan, progress.ClassCount, progress.StudentCount, progress.StudentBoundCount) = (plan, plan.ClassCount, plan.StudentCount, plan.StudentBoundCount);
        return progress;
    }

    /// <summary>The last message of a replan.</summary>
    public PlanProgress Done(IEnumerable<V1.Plan> proposals)
    {
        var progress = Now(Stage.Done, "");
        progress.Proposals.Add(proposals);
        progress.Text = progress.Proposals.Count == 1 ? "One proposal." : $"{progress.Proposals.Count} proposals.";
        return progress;
    }

    /// <summary>Sends what is told until the work ends, however it ends; whoever waits for the work sees why.</summary>
    public async Task SendAsync(IServerStreamWriter<PlanProgress> stream, Task work, CancellationToken ct)
    {
        _ = work.ContinueWith(_ => _told.Writer.TryComplete(), CancellationToken.None, TaskContinuationOptions.ExecuteSynchronously, TaskScheduler.Default);
        await foreach (var progress in _told.Reader.ReadAllAsync(ct)) await stream.WriteAsync(progress, ct);
    }

    private PlanProgress Now(Stage stage, string text) => new()
    {
        Stage = stage,
        ElapsedDuration = Duration.FromTimeSpan(clock.GetElapsedTime(_since)),
        ClassCount = _last?.Classes ?? 0,
        StudentCount = _last?.Students ?? 0,
        StudentBoundCount = _last?.StudentsBound ?? 0,
        PointCount = _last?.Points ?? 0,
        Text = text,
    };

    private static Stage StageOf(PlanStage stage) => stage switch
    {
        PlanStage.Bounding => Stage.Bound,
        PlanStage.Proving => Stage.Proof,
        _ => Stage.Search,
    };
}
