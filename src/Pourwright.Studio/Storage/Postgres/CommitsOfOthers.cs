using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Npgsql;

namespace Pourwright.Studio.Storage.Postgres;

/// <summary>Wakes whoever waits on this node when another node has committed.</summary>
/// <remarks>While the server cannot be reached, what waits looks by itself after its own pause; the first thing after it is back is a wake.</remarks>
internal sealed class CommitsOfOthers(PostgresStore store, CommitSignal commits, TimeProvider clock, ILogger<CommitsOfOthers> logger) : BackgroundService
{
    /// <summary>Between two attempts to listen. Common practice, no source.</summary>
    private static readonly TimeSpan Pause = TimeSpan.FromSeconds(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                await ListenAsync(stoppingToken);
            }
            catch (Exception e) when (e is NpgsqlException or IOException && !stoppingToken.IsCancellationRequested)
            {
                logger.LogWarning(e, "Commits of other nodes at {Place} are not heard of; trying again.", store.Place);
                await Task.Delay(Pause, clock, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }

    private async Task ListenAsync(CancellationToken ct)
    {
        await using var connection = store.Connect();
        connection.Notification += (_, told) =>
        {
            if (told.Payload != store.Node) commits.Raise();
        };
        await connection.OpenAsync(ct);
        await using (var listen = new NpgsqlCommand($"LISTEN {PostgresConnection.Channel}", connection)) await listen.ExecuteNonQueryAsync(ct);
        // What was committed while nobody listened.
        commits.Raise();
        while (true) await connection.WaitAsync(ct);
    }
}
