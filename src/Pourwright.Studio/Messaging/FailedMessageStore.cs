using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Messaging;

/// <summary>An unfinished outbox row that failed at least once.</summary>
public sealed record FailedMessageRow(long Sequence, string MessageId, string Kind, string Body, long CreatedMs, int Attempts, string? LastError)
{
    /// <summary>A message's id may begin with a digit, a name may not.</summary>
    private const string Prefix = "message-";

    public static string IdOf(string name) => ResourceNames.IdOf(name)[Prefix.Length..];

    /// <summary>Could <paramref name="name"/> be the name of a message?</summary>
    public static bool IsName(string name) => ResourceKind.FailedMessage.Matches(name)
        && ResourceNames.IdOf(name).StartsWith(Prefix, StringComparison.Ordinal);

    public FailedMessage ToProto() => new()
    {
        Name = ResourceKind.FailedMessage.Under("", Prefix + MessageId),
        Kind = Kind,
        Body = Body,
        CreateTime = Instants.ToTimestamp(CreatedMs),
        AttemptCount = Attempts,
        Error = LastError ?? "",
        GivenUp = Attempts >= Outbox.AttemptMost,
    };
}

/// <summary>SQL of failed messages: the outbox is their only list, whatever the bus.</summary>
public static class FailedMessageStore
{
    private const string Columns = "SELECT sequence, message_id, kind, body, created_ms, attempts, last_error FROM outbox";

    public static FailedMessageRow Get(StudioSession session, string name) => session.Find<FailedMessageRow>(
        $"{Columns} WHERE message_id = @id AND finished_ms IS NULL AND attempts > 0", new { id = FailedMessageRow.IdOf(name) })
            ?? throw ResourceKind.FailedMessage.NotFound(name);

    /// <summary>Oldest first.</summary>
    public static IReadOnlyList<FailedMessageRow> List(StudioSession session, PageRequest page) => session.Query<FailedMessageRow>(
        $"""
        {Columns} WHERE finished_ms IS NULL AND attempts > 0 AND sequence > @after ORDER BY sequence LIMIT @limit
        """, new { after = page.AfterNumber, limit = page.Limit });

    /// <summary>Makes it unsent again, as if it had never failed; its last error stays in sight until it has its effect.</summary>
    public static void Replay(StudioTransaction tx, FailedMessageRow message) => tx.Execute(
        """
        UPDATE outbox SET published_ms = NULL, attempts = 0 WHERE sequence = @Sequence AND finished_ms IS NULL
        """, new { message.Sequence });
}
