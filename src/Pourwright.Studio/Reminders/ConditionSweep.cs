using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A sweep that looks at how things stand and says so. Looks beside the writer first: mostly there is nothing new.</summary>
public abstract class ConditionSweep(StudioReads reads, StudioWriter writer, TimeProvider clock) : ISweep
{
    public async Task RunAsync(CancellationToken ct)
    {
        if (reads.Read(reading => Look(reading, clock.GetUtcNow().ToUnixMs())).IsEmpty) return;
        await writer.WriteAsync(tx => ReminderStore.Save(tx, Look(tx, tx.Now.ToUnixMs())), ct);
    }

    /// <summary>Loads and decides; run again in the writer, where nothing changes in between.</summary>
    protected abstract ReminderChanges Look(StudioSession session, long nowMs);
}

/// <summary>Whether a thing that lasts is on: in doubt nothing changes.</summary>
public enum EpisodeState
{
    Off,
    On,
    InDoubt,
}

/// <summary>A thing that lasts, as seen now: what to say when it begins, and when it is over.</summary>
public sealed record Episode(string Studio, string Site, string Subject, EpisodeState State, string Text, string OverText);

/// <summary>One reminder an episode: told when it begins, withdrawn in the open when it is over.</summary>
public static class Episodes
{
    /// <summary>The changes. A live reminder whose subject is not among those seen is over as well, with <paramref name="goneText"/>.</summary>
    public static ReminderChanges Decide(
        Reminder.Types.Kind kind, IReadOnlyList<Episode> seen, IReadOnlyList<ReminderRecord> live, string goneText, long nowMs)
    {
        var changes = new ReminderChanges();
        var told = live.ToLookup(reminder => reminder.Subject);
        foreach (var episode in seen.Where(e => e.State == EpisodeState.On && !told.Contains(e.Subject)))
            changes.Add(Begin(kind, episode, nowMs));
        var bySubject = seen.ToDictionary(episode => episode.Subject);
        foreach (var reminder in live)
        {
            var isGone = !bySubject.TryGetValue(reminder.Subject, out var now);
            if (isGone || now!.State == EpisodeState.Off) changes.Withdraw(reminder, "over", isGone ? goneText : now!.OverText, nowMs);
        }
        return changes;
    }

    private static ReminderDraft Begin(Reminder.Types.Kind kind, Episode episode, long nowMs) => new()
    {
        Studio = episode.Studio,
        Site = episode.Site,
        Kind = kind,
        Subject = episode.Subject,
        Text = episode.Text,
        RecipientRole = Contact.Types.Role.Assistant,
        RemindMs = nowMs,
    };
}
