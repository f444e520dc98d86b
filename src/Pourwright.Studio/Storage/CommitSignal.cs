namespace Pourwright.Studio.Storage;

/// <summary>Tells whoever waits that this node has committed something.</summary>
/// <remarks>
/// A commit may fall between a query and the wait after it. So ask first, look second, wait last:
/// <code>
/// var next = commits.NextAsync(ct);
/// var rows = reads.Read(...);
/// await next;
/// </code>
/// </remarks>
public sealed class CommitSignal
{
    private TaskCompletionSource _next = NewSource();

    /// <summary>Completes after the next commit on this node, counted from this call.</summary>
    /// <exception cref="OperationCanceledException"><paramref name="ct"/> was cancelled first.</exception>
    public Task NextAsync(CancellationToken ct) => Volatile.Read(ref _next).Task.WaitAsync(ct);

    internal void Raise() => Interlocked.Exchange(ref _next, NewSource()).SetResult();

    private static TaskCompletionSource NewSource() => new(TaskCreationOptions.RunContinuationsAsynchronously);
}
