using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Lots;

/// <summary>Holds lots and containers for a cause, and lets them go, inside one write.</summary>
public static class StockHoldStore
{
    private const string StandingHolds =
        """
          FROM stock_holds h
         WHERE h.kind = 'held'
           AND NOT EXISTS (SELECT 1 FROM stock_holds l WHERE l.subject = h.subject AND l.cause = h.cause AND l.sequence > h.sequence)
        """;

    /// <summary>What a recall or a defect holds now, by name.</summary>
    public static IReadOnlyList<string> HeldBy(StudioSession session, string cause) =>
        session.Query<string>($"SELECT h.subject {StandingHolds} AND h.cause = @cause ORDER BY h.subject", new { cause });

    /// <summary>True where the cause did not hold it before.</summary>
    public static bool Hold(StudioTransaction tx, string subject, HoldCause cause)
    {
        var change = HoldStock.Hold(subject, StateOf(tx, subject), Standing(tx, subject), cause);
        Save(tx, subject, change, cause);
        return change.Rows.Any(row => row.Cause == cause.Name) || change.Becomes is not null;
    }

    /// <summary>True where it is free now and was not.</summary>
    public static bool Release(StudioTransaction tx, string subject, HoldCause cause)
    {
        var change = HoldStock.Release(subject, StateOf(tx, subject), Standing(tx, subject), cause);
        Save(tx, subject, change, cause);
        return change.Becomes is { IsHeld: false };
    }

    private static HoldState StateOf(StudioSession session, string subject)
    {
        if (ResourceKind.Container.Matches(subject))
        {
            var container = LotStore.GetContainer(session, subject);
            return new(container.Held, container.HoldReason);
        }
        var lot = LotStore.GetLot(session, subject);
        return new(lot.Held, lot.HoldReason);
    }

    private static void Save(StudioTransaction tx, string subject, StockHoldChange change, HoldCause cause)
    {
        Insert(tx, change.Rows);
        if (change.Becomes is not { } state) return;
        var reason = state.IsHeld ? state.Reason : cause.Reason;
        if (ResourceKind.Container.Matches(subject))
        {
            var container = LotStore.GetContainer(tx, subject);
            LotStore.Save(tx, [state.IsHeld ? KeepContainer.Hold(container, reason, cause.NowMs) : KeepContainer.Release(container, reason, cause.NowMs)]);
            return;
        }
        var (row, containers) = (LotStore.GetLot(tx, subject), LotStore.ContainersOf(tx, subject));
        var (lot, events) = state.IsHeld ? HoldLot.Hold(row, containers, reason, cause.NowMs) : HoldLot.Release(row, containers, reason, cause.NowMs);
        LotStore.UpdateHold(tx, lot);
        LotStore.Save(tx, events);
    }

    private static IReadOnlyList<StandingHold> Standing(StudioSession session, string subject) =>
        session.Query<StandingHold>($"SELECT h.cause, h.reason {StandingHolds} AND h.subject = @subject ORDER BY h.sequence", new { subject });

    private static void Insert(StudioTransaction tx, IReadOnlyList<StockHoldRecord> rows) => tx.Execute(
        """
        INSERT INTO stock_holds (subject, kind, cause, reason, person, event_ms)
        VALUES (@Subject, @Kind, @Cause, @Reason, @Person, @EventMs)
        """, rows);
}
