using Google.Protobuf;

namespace Pourwright.Studio.Storage;

/// <summary>The call that is being answered. Told of what it writes, inside the write, so that neither is ever kept without the other.</summary>
public abstract class CallAtHand
{
    private static readonly AsyncLocal<CallAtHand?> Holder = new();

    /// <summary>Null outside of calls, as in sweeps and consumers.</summary>
    public static CallAtHand? Current
    {
        get => Holder.Value;
        set => Holder.Value = value;
    }

    /// <summary>A request was accepted and done; not told of a repeat, nor of a dry run. What this throws undoes the write.</summary>
    public abstract void Wrote(StudioTransaction transaction, IMessage request, IMessage answer);
}
