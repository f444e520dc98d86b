using Pourwright.Studio.Instructors;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Reminders;

/// <summary>What waits for an instructor or is on its way goes to their new address.</summary>
public sealed class FollowInstructor(Inbox inbox) : InboxConsumer<InstructorAddressChanged>(inbox)
{
    protected override Task<Action<StudioTransaction>> HandleAsync(InstructorAddressChanged message, CancellationToken ct) =>
        Task.FromResult<Action<StudioTransaction>>(tx =>
            ReminderStore.FollowRecipient(tx, message.Instructor, InstructorStore.GetInstructor(tx, message.Instructor).Email));
}
