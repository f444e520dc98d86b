using Microsoft.Extensions.Logging;
using Pourwright.Studio.Access;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Seals;

/// <summary>Seals each studio once a day where anything was recorded since, and logs the seal: where logs are kept elsewhere, so is the seal.</summary>
public sealed class SealDaily(StudioReads reads, StudioWriter writer, TimeProvider clock, ILogger<SealDaily> logger) : ISweep
{
    private static readonly TimeSpan Interval = TimeSpan.FromDays(1);

    public async Task RunAsync(CancellationToken ct)
    {
        var now = clock.GetUtcNow();
        foreach (var studio in reads.Read(session => Due(session, now)))
        {
            var seal = await writer.WriteAsync(tx => IsDue(tx, studio, tx.Now) ? SealStore.Save(tx, studio, NewName(studio)) : null, ct);
            if (seal is not null) logger.LogInformation("Sealed {Seal}: root {Root} over {HeadCount} heads.", seal.Name, seal.Root, seal.HeadCount);
        }
    }

    private static string NewName(string studio) => ResourceKind.Seal.Under(studio, ResourceKind.Seal.NewId());

    private static IReadOnlyList<string> Due(StudioSession session, DateTimeOffset now) =>
        [.. AccessKeyStore.Studios(session).Where(studio => IsDue(session, studio, now))];

    private static bool IsDue(StudioSession session, string studio, DateTimeOffset now) =>
        (SealStore.LastSeal(session, studio) is not { } last || Instants.FromUnixMs(last.SealMs) <= now - Interval)
        && SealStore.UnsealedCount(session, studio) > 0;
}
