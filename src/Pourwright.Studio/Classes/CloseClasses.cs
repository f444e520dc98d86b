using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Classes;

/// <summary>A class whose last session is over is done.</summary>
public sealed class CloseClasses(StudioReads reads, StudioWriter writer, TimeProvider clock) : ISweep
{
    public async Task RunAsync(CancellationToken ct)
    {
        if (reads.Read(session => ClassStore.GetOverClasses(session, clock.GetUtcNow().ToUnixMs())).Count == 0) return;
        await writer.WriteAsync(tx =>
        {
            var over = ClassStore.GetOverClasses(tx, tx.Now.ToUnixMs());
            foreach (var castingClass in over) ClassStore.MarkDone(tx, castingClass.Name);
            return over.Count;
        }, ct);
    }
}
