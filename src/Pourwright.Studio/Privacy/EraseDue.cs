using Pourwright.Studio.Access;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using Pourwright.Studio.StudentLinks;

namespace Pourwright.Studio.Privacy;

/// <summary>Forgets students whose time is over, where the node is set to; else they are only proposed.</summary>
public sealed class EraseDue(StudioWriter writer, StudioReads reads, KeyRing keys, StudentOptions options, TimeProvider clock) : ISweep
{
    private const int AtOnce = 100;

    public async Task RunAsync(CancellationToken ct)
    {
        if (!options.EraseByItself) return;
        var before = (clock.GetUtcNow() - TimeSpan.FromDays(options.ProposeErasureDaysAfterLastSession)).ToUnixMs();
        foreach (var studio in reads.Read(AccessKeyStore.Studios))
            foreach (var due in reads.Read(session => PersonStore.Due(session, studio, before, "", AtOnce)))
            {
                var (_, shut) = await writer.WriteAsync(tx => PrivacyService.Erase(tx, due.Student, []), ct);
                foreach (var link in shut) keys.Forget(link);
            }
    }
}
