using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Pourwright.Studio.Access;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>Enters what was denied, and which writes were refused, in no more room than a bounded number of entries a minute.</summary>
/// <remarks>
/// The first of its kind in a minute is on disk before its answer goes out; the others are counted, and one entry says after the minute
/// how many they were. A kind is key, address, call, outcome and reason. Of more than <see cref="KindsMax"/> kinds in a minute the log
/// tells their number alone. A node that is killed loses the counts of its last minute, never a first.
/// </remarks>
public sealed class TurnedAwayCalls(StudioWriter writer, StudioReads reads, TimeProvider clock, ILogger<TurnedAwayCalls> logger) : BackgroundService
{
    /// <summary>Kinds of denials, and of refusals, that are told apart in a minute: at most twice as many entries of each, some 100 kB a minute. Common practice, no source.</summary>
    public const int KindsMax = 64;

    private static readonly TimeSpan Window = TimeSpan.FromMinutes(1);

    private readonly Lock _lock = new();
    private Dictionary<Kind, Tally> _tallies = [];
    private long _beyond;

    /// <summary>Enters a call that was denied before its message was read.</summary>
    public Task TellAsync(HttpContext http, string method, Refusal refusal) =>
        refusal.IsDenial ? TellAsync(AuditedCall.Of(http, method).TurnedAway(refusal, null, clock.GetUtcNow())) : Task.CompletedTask;

    /// <summary>Enters the first of its kind, counts the others.</summary>
    public async Task TellAsync(AuditRecord entry)
    {
        if (IsFirst(entry)) await EnterAsync([entry]);
    }

    /// <summary>The minute is over: enters how many came after the first of each kind.</summary>
    public async Task EndMinuteAsync()
    {
        var (tallies, beyond) = TakeAll();
        await EnterAsync([.. tallies.Select(tally => tally.Further).OfType<AuditRecord>()]);
        if (beyond > 0) logger.LogWarning("{Count} calls more were denied or refused in a minute, each of a kind that the audit had no room for.", beyond);
    }

    /// <inheritdoc/>
    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        await EndMinuteAsync();
    }

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Window, clock);
        while (await NextMinuteAsync(timer, stoppingToken)) await EndMinuteAsync();
    }

    private static async Task<bool> NextMinuteAsync(PeriodicTimer timer, CancellationToken stoppingToken)
    {
        try
        {
            return await timer.WaitForNextTickAsync(stoppingToken);
        }
        catch (OperationCanceledException)
        {
            return false;
        }
    }

    private bool IsFirst(AuditRecord entry)
    {
        var kind = new Kind(entry.Studio, entry.AccessKey, entry.Address, entry.Method, entry.Outcome, entry.Reason);
        lock (_lock)
        {
            if (_tallies.TryGetValue(kind, out var tally)) tally.Count(entry);
            else if (_tallies.Keys.Count(known => known.Outcome == kind.Outcome) >= KindsMax) _beyond++;
            else
            {
                _tallies.Add(kind, new());
                return true;
            }
            return false;
        }
    }

    private (IReadOnlyCollection<Tally> Tallies, long Beyond) TakeAll()
    {
        lock (_lock)
        {
            var taken = (_tallies.Values, _beyond);
            (_tallies, _beyond) = ([], 0);
            return taken;
        }
    }

    /// <summary>Whoever is turned away hears so even where the store takes no entry; the log then has it.</summary>
    private async Task EnterAsync(IReadOnlyList<AuditRecord> entries)
    {
        if (entries.Count == 0) return;
        try
        {
            // A studio that only the caller speaks of must not reach the writer.
            var studios = reads.Read(AccessKeyStore.Studios);
            var known = entries.SelectMany(entry => Placed(entry, studios)).ToList();
            if (known.Count > 0) await writer.WriteAsync(tx => { foreach (var entry in known) AuditStore.Insert(tx, entry); });
        }
        catch (Exception e) when (e is Refusal || StoreErrors.ToRefusal(e) is not null)
        {
            logger.LogWarning(e, "The audit has no entry of {Count} calls that were turned away, the first of them {Method}.", entries.Sum(entry => entry.CallCount), entries[0].Method);
        }
    }

    private static IEnumerable<AuditRecord> Placed(AuditRecord entry, IReadOnlyList<string> studios) => studios
        .Where(studio => entry.Studio is AuditRecord.EveryStudio || entry.Studio == studio).Select(studio => entry with { Studio = studio });

    private sealed record Kind(string Studio, string AccessKey, string Address, string Method, AuditEntry.Types.Outcome Outcome, string Reason);

    /// <summary>What came after the first.</summary>
    private sealed class Tally
    {
        public AuditRecord? Further { get; private set; }

        public void Count(AuditRecord entry) => Further = Further is null ? entry : Further with { CallCount = Further.CallCount + 1 };
    }
}
