using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Messaging;

/// <summary>One relay at a time hands messages to a broker: whose turn it is stands in a row, for a while.</summary>
/// <remarks>
/// So their order is that of the commits, and nothing is handed over by every worker. A node that dies gives its turn away by letting it
/// run out. Clocks of two nodes may differ: at worst both hand over for a while, which the inbox makes harmless.
/// </remarks>
public sealed class RelayTurn(StudioReads reads, StudioWriter writer, TimeProvider clock)
{
    /// <summary>How long a turn lasts unless it is taken again. Common practice, no source.</summary>
    public static readonly TimeSpan Length = TimeSpan.FromSeconds(15);

    private const string Name = "relay";

    private readonly string _holder = $"{Environment.MachineName}-{Guid.NewGuid():N}";
    private DateTimeOffset _until;

    /// <summary>How long this relay may still go on.</summary>
    public TimeSpan Left => _until - clock.GetUtcNow();

    /// <summary>Takes the turn where it is free or this relay's own; false where it is another's. Writes only when less than half of it is left.</summary>
    public async Task<bool> TakeAsync(CancellationToken ct)
    {
        if (Left > Length / 2) return true;
        if (reads.Read(IsAnothers)) return false;
        var untilMs = await writer.WriteAsync(Take, ct);
        _until = Instants.FromUnixMs(untilMs ?? 0);
        return untilMs is not null;
    }

    /// <summary>Ends this relay's turn, so that another need not wait.</summary>
    public Task GiveBackAsync()
    {
        _until = default;
        return writer.WriteAsync(tx => tx.Execute("DELETE FROM leases WHERE name = @Name AND holder = @holder", new { Name, holder = _holder }));
    }

    private bool IsAnothers(StudioSession session) => session.Scalar<long>(
        """
        SELECT count(*) FROM leases WHERE name = @Name AND holder <> @holder AND until_ms > @nowMs
        """, new { Name, holder = _holder, nowMs = clock.GetUtcNow().ToUnixMs() }) == 1;

    private long? Take(StudioTransaction tx) => tx.Scalar<long?>(
        """
        INSERT INTO leases (name, holder, until_ms) VALUES (@Name, @holder, @untilMs)
        ON CONFLICT (name) DO UPDATE SET holder = excluded.holder, until_ms = excluded.until_ms
         WHERE leases.holder = excluded.holder OR leases.until_ms <= @nowMs
        RETURNING until_ms
        """, new { Name, holder = _holder, nowMs = tx.Now.ToUnixMs(), untilMs = (tx.Now + Length).ToUnixMs() });
}
