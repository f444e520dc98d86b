using Pourwright.V1;

namespace Pourwright.Studio.Reminders;

/// <summary>A reminder to be written. Its name and its generation are given when it is saved.</summary>
public sealed record ReminderDraft
{
    public required string Studio { get; init; }
    public required string? Site { get; init; }
    public required Reminder.Types.Kind Kind { get; init; }
    public required string Subject { get; init; }
    public required string Text { get; init; }
    /// <summary>Unspecified where it goes to one person.</summary>
    public required Contact.Types.Role RecipientRole { get; init; }

    /// <summary>A student or instructor by name, instead of a role; empty for a role. Such a reminder informs: nobody is asked to acknowledge it.</summary>
    public string Recipient { get; init; } = "";

    /// <summary>Where it goes; empty for the inbox alone.</summary>
    public string RecipientEmail { get; init; } = "";
    public bool Safety { get; init; }
    public required long RemindMs { get; init; }
}

/// <summary>A waiting reminder gets another time or text; nobody was told the old one.</summary>
public sealed record ReminderMove(string Name, long RemindMs, string Text);

/// <summary>A reminder is not true any more.</summary>
public sealed record ReminderWithdrawal(string Name, string Reason);

/// <summary>A reminder that is out was answered by the deed itself.</summary>
public sealed record ReminderAnswer(string Name, string Worker);

/// <summary>What a decision does to the reminders.</summary>
public sealed class ReminderChanges
{
    private readonly List<ReminderDraft> _drafts = [];
    private readonly List<ReminderMove> _moves = [];
    private readonly List<ReminderWithdrawal> _withdrawals = [];
    private readonly List<ReminderAnswer> _answers = [];

    public IReadOnlyList<ReminderDraft> Drafts => _drafts;

    public IReadOnlyList<ReminderMove> Moves => _moves;

    public IReadOnlyList<ReminderWithdrawal> Withdrawals => _withdrawals;

    public IReadOnlyList<ReminderAnswer> Answers => _answers;

    public bool IsEmpty => _drafts.Count + _moves.Count + _withdrawals.Count + _answers.Count == 0;

    public void Add(ReminderDraft draft) => _drafts.Add(draft);

    /// <summary>Gives a waiting reminder another time or text; nothing where both are as they were.</summary>
    public void Move(ReminderRecord waiting, long remindMs, string text)
    {
        if (remindMs != waiting.RemindMs || text != waiting.Text) _moves.Add(new ReminderMove(waiting.Name, remindMs, text));
    }

    /// <summary>Withdraws a reminder nobody was told of, without a word.</summary>
    public void Drop(ReminderRecord waiting, string reason) => _withdrawals.Add(new ReminderWithdrawal(waiting.Name, reason));

    /// <summary>Withdraws: without a word where nobody was told, else in the open, to whoever has it now and wherever it went before.</summary>
    public void Withdraw(ReminderRecord reminder, string reason, string notice, long nowMs)
    {
        Drop(reminder, reason);
        if (reminder.IsOut) _drafts.Add(Notice(reminder, notice, nowMs));
    }

    /// <summary>The deed is done: what waits is closed without a word, what is out counts as answered by the worker.</summary>
    public void Close(ReminderRecord reminder, string reason, string worker)
    {
        if (reminder.State == Reminder.Types.State.Pending) Drop(reminder, reason);
        else if (reminder.State == Reminder.Types.State.Sent) _answers.Add(new ReminderAnswer(reminder.Name, worker));
    }

    private static ReminderDraft Notice(ReminderRecord reminder, string text, long nowMs) => new()
    {
        Studio = reminder.Studio,
        Site = reminder.Site,
        Kind = Reminder.Types.Kind.Withdrawn,
        Subject = reminder.Name,
        Text = text,
        RecipientRole = reminder.RecipientRole,
        Recipient = reminder.Recipient,
        RecipientEmail = reminder.RecipientEmail,
        RemindMs = nowMs,
    };
}
