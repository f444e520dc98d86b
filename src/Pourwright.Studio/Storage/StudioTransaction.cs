using System.Data;
using System.Text.Json;
using Dapper;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Storage;

/// <summary>One write: it sees what was written before it in the same commit, and is kept or undone as a whole.</summary>
/// <remarks>Work that runs here holds up every other write of the node: no waiting, no network, no files.</remarks>
public sealed class StudioTransaction : StudioSession
{
    private readonly EvidenceChain _chain;
    private readonly LastingRows _lasting;
    private bool _hasFailed;

    internal StudioTransaction(IStudioConnection connection, EvidenceChain chain, LastingRows lasting, DateTimeOffset now, string? traceParent) : base(connection) =>
        (_chain, _lasting, Now, TraceParent) = (chain, lasting, now, traceParent);

    /// <summary>The instant of this write, UTC, whole milliseconds; never earlier than that of a write before it since the node started.</summary>
    /// <remarks>A clock that was wrong and is set back holds this instant still; a restart makes it follow.</remarks>
    public DateTimeOffset Now { get; }

    /// <summary>The span in which this write was asked for, as a row keeps it; null where nobody records it.</summary>
    public string? TraceParent { get; }

    /// <summary>A value that no earlier state of anything had: the instant of the write and a random tail.</summary>
    public string NewEtag() => $"{Now.ToUnixMs():x}-{Guid.NewGuid():N}"[..20];

    /// <summary>The work ran to see whether it would be accepted; nothing of it is kept.</summary>
    internal bool IsDry { get; private set; }

    /// <inheritdoc/>
    public override T? FindLasting<T>(string sql, string name) where T : class => _lasting.Find(name, () => base.FindLasting<T>(sql, name));

    /// <summary>Runs a statement, or once for each element when <paramref name="args"/> is a list.</summary>
    /// <remarks>Over a network it goes with the next statement that is asked for an answer, and fails there.</remarks>
    public void Execute(string sql, object? args = null) => Execute(Connection.Expecting(sql, mayWait: true), sql, args);

    /// <summary>Runs a statement, or once for each element when <paramref name="args"/> is a list; returns the number of rows changed.</summary>
    public int ExecuteCounted(string sql, object? args = null) => Execute(Connection.Expecting(sql), sql, args);

    /// <summary>Saves a message with the rows it speaks of; it is handed to the bus after the commit, and never if there is none.</summary>
    /// <remarks>Its consumer must be an <see cref="Messaging.InboxConsumer{T}"/>; each kind of message has exactly one.</remarks>
    public void Publish<T>(T message) where T : class => Execute(
        """
        INSERT INTO outbox (message_id, kind, body, created_ms, trace_parent) VALUES (@id, @kind, @body, @now, @TraceParent)
        """,
        new
        {
            id = Guid.CreateVersion7(Now).ToString(),
            kind = typeof(T).Name,
            body = JsonSerializer.Serialize(message),
            now = Now.ToUnixMs(),
            TraceParent,
        });

    internal void KeepNothing() => IsDry = true;

    /// <summary>The last act of a write.</summary>
    /// <exception cref="InvalidOperationException">A statement failed and the write went on: evidence of it may have been taken that is not in the store.</exception>
    internal void Complete()
    {
        var recorded = Connection.Complete();
        if (IsDry || recorded.Count == 0) return;
        if (_hasFailed) throw new InvalidOperationException("A write that records evidence goes on after one of its statements failed: let the failure end it.");
        _chain.Link(recorded);
        Connection.Complete();
    }

    private int Execute(IDbConnection connection, string sql, object? args)
    {
        try
        {
            return connection.Execute(sql, args);
        }
        catch
        {
            _hasFailed = true;
            throw;
        }
    }
}
