namespace Pourwright.Host.Demo;

/// <summary>A clock that jumps when told and otherwise goes at its usual pace.</summary>
public sealed class DemoClock(DateTimeOffset start) : TimeProvider
{
    private readonly long _startTimestamp = System.GetTimestamp();
    private long _jumpedTicks;

    public override DateTimeOffset GetUtcNow() => start + System.GetElapsedTime(_startTimestamp) + new TimeSpan(Interlocked.Read(ref _jumpedTicks));

    /// <summary>Jumps to an instant; never back.</summary>
    public void JumpTo(DateTimeOffset instant)
    {
        var by = instant - GetUtcNow();
        if (by > TimeSpan.Zero) Interlocked.Add(ref _jumpedTicks, by.Ticks);
    }
}
