using Pourwright.Studio.Messaging;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;

namespace Pourwright.Studio.Reminders;

/// <summary>A deed settles what was announced: waiting reminders are closed, those that are out count as answered by who did it.</summary>
public sealed class CloseAfterStep(Inbox inbox) : InboxConsumer<StepRecorded>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(StepRecorded message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx => Close(tx, message));

    /// <summary>The changes after a step. <paramref name="about"/> are the reminders of the piece and the notices about those.</summary>
    public static ReminderChanges Decide(Step.Types.Kind step, string worker, IReadOnlyList<ReminderRecord> about)
    {
        var changes = new ReminderChanges();
        foreach (var reminder in about.Where(reminder => IsSettled(reminder.Kind, step)))
            changes.Close(reminder, $"settled by a step: {step}", worker);
        return changes;
    }

    private static bool IsSettled(Kind kind, Step.Types.Kind step) => step switch
    {
        Step.Types.Kind.Demold => kind is Kind.DemoldReady,
        Step.Types.Kind.Saw or Step.Types.Kind.Plane => kind is Kind.DemoldReady or Kind.HandleReady or Kind.AtRisk,
        Step.Types.Kind.HandOver or Step.Types.Kind.Scrap => true,
        _ => false,
    };

    private static void Close(StudioTransaction tx, StepRecorded message)
    {
        var step = PieceStore.GetSteps(tx, message.Piece).Single(step => step.Name == message.Step);
        ReminderStore.Save(tx, Decide(step.Kind, step.Worker, ReminderStore.About(tx, message.Piece)));
    }
}
