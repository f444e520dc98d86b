namespace Pourwright.Studio.Refusals;

/// <summary>The time that a node gives a call whose client could set no deadline; a feature of its request.</summary>
/// <param name="Most">How long it may run.</param>
/// <param name="Over">Ends when that is over.</param>
public sealed record CallEnd(TimeSpan Most, CancellationToken Over);
