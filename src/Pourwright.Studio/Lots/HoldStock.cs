namespace Pourwright.Studio.Lots;

/// <summary>A row of `stock_holds`: a lot or a container held, or let go, for a cause. Inserted once.</summary>
/// <param name="Cause">The recall or the defect; empty for a person's own hold.</param>
public sealed record StockHoldRecord(string Subject, string Kind, string Cause, string Reason, string Person, long EventMs)
{
    public const string Held = "held", Released = "released";
}

/// <summary>For what, why and by whom something is held, or let go.</summary>
/// <param name="Name">The recall or the defect; empty for a person's own hold.</param>
public sealed record HoldCause(string Name, string Reason, string Person, long NowMs);

/// <summary>Whether a lot or a container may be drawn from, for whatever cause, and why not.</summary>
public sealed record HoldState(bool IsHeld, string Reason);

/// <summary>A cause that holds now, with its last word.</summary>
public sealed record StandingHold(string Cause, string Reason);

/// <summary>What follows for a lot or a container.</summary>
/// <param name="Becomes">Null where it stays as it is.</param>
public sealed record StockHoldChange(IReadOnlyList<StockHoldRecord> Rows, HoldState? Becomes);

/// <summary>Which rows follow where a lot or a container is held for a cause, or let go.</summary>
/// <remarks>Each cause holds for itself, a person as well: it is free when the last one has let go.</remarks>
public static class HoldStock
{
    /// <summary>A repeat changes nothing but a person's reason.</summary>
    /// <param name="subject">The lot or the container.</param>
    /// <param name="state">How it stands.</param>
    /// <param name="standing">What holds it now.</param>
    /// <param name="cause">What holds it from now on.</param>
    public static StockHoldChange Hold(string subject, HoldState state, IReadOnlyCollection<StandingHold> standing, HoldCause cause)
    {
        var byPerson = cause.Name.Length == 0;
        List<StockHoldRecord> rows = [];
        // Once a person's hold had no row of its own.
        if (state.IsHeld && standing.Count == 0 && !byPerson) rows.Add(new(subject, StockHoldRecord.Held, "", state.Reason, "", cause.NowMs));
        if (byPerson || standing.All(hold => hold.Cause != cause.Name)) rows.Add(Row(subject, StockHoldRecord.Held, cause));
        return new(rows, byPerson || !state.IsHeld ? new(true, cause.Reason) : null);
    }

    /// <summary>What something else holds as well stays held, for the reason of the first that does.</summary>
    public static StockHoldChange Release(string subject, HoldState state, IReadOnlyCollection<StandingHold> standing, HoldCause cause)
    {
        IReadOnlyList<StockHoldRecord> rows = standing.Any(hold => hold.Cause == cause.Name) ? [Row(subject, StockHoldRecord.Released, cause)] : [];
        if (!state.IsHeld) return new(rows, null);
        if (standing.FirstOrDefault(hold => hold.Cause != cause.Name) is not { } other) return new(rows, new(false, ""));
        return new(rows, rows.Count > 0 && other.Reason != state.Reason ? state with { Reason = other.Reason } : null);
    }

    private static StockHoldRecord Row(string subject, string kind, HoldCause cause) =>
        new(subject, kind, cause.Name, cause.Reason, cause.Person, cause.NowMs);
}
