using Pourwright.Studio.Lots;

namespace Pourwright.Studio.Recalls;

/// <summary>A row of `stock_holds`: a lot or a container held, or let go, for a cause. Inserted once.</summary>
/// <param name="Cause">The recall or the defect; empty for a hold that a person had made before.</param>
public sealed record StockHoldRecord(string Subject, string Kind, string Cause, string Reason, string Person, long EventMs)
{
    public const string Held = "held", Released = "released";
}

/// <summary>For what, why and by whom something is held.</summary>
public sealed record HoldCause(string Name, string Reason, string Person, long NowMs);

/// <summary>Which rows follow where a lot or a container is held for a cause, or let go.</summary>
/// <remarks>A hold that a person made before is kept as one of an empty cause: a recall that ends must not let go what it did not hold.</remarks>
public static class HoldStock
{
    /// <summary>The rows to write, and whether the lot or container itself changes.</summary>
    /// <param name="isHeld">It may not be drawn from now, for whatever cause.</param>
    /// <param name="holdReason">Why, where it is.</param>
    /// <param name="causes">Causes that hold it now.</param>
    public static (IReadOnlyList<StockHoldRecord> Rows, bool Changes) Hold(
        string subject, bool isHeld, string holdReason, IReadOnlyCollection<string> causes, HoldCause cause)
    {
        List<StockHoldRecord> rows = [];
        if (isHeld && causes.Count == 0) rows.Add(new(subject, StockHoldRecord.Held, "", holdReason, "", cause.NowMs));
        if (!causes.Contains(cause.Name)) rows.Add(new(subject, StockHoldRecord.Held, cause.Name, cause.Reason, cause.Person, cause.NowMs));
        return (rows, !isHeld);
    }

    /// <summary>The row to write, and whether the lot or container itself is let go: only where nothing else holds it.</summary>
    public static (StockHoldRecord Row, bool Changes) Release(string subject, bool isHeld, IReadOnlyCollection<string> causes, HoldCause cause) => (
        new(subject, StockHoldRecord.Released, cause.Name, cause.Reason, cause.Person, cause.NowMs),
        isHeld && causes.All(other => other == cause.Name));
}

/// <summary>What was held or let go, by name, and what stayed as it was.</summary>
public sealed record HoldOutcome(IReadOnlyList<string> Pieces, IReadOnlyList<string> Stock, IReadOnlyList<string> Unchanged);
