using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Recalls;

/// <summary>Holds all that was reached for a cause, and lets it go, inside one write.</summary>
public static class HoldStore
{
    /// <summary>Holds the pieces in the house, and the lots or containers that are suspect. What the cause holds already stays as it is.</summary>
    public static HoldOutcome Hold(StudioTransaction tx, Reach reach, HoldCause cause)
    {
        var before = PieceHoldStore.HeldBy(tx, cause.Name).ToHashSet();
        var house = reach.Pieces.Select(reached => reached.Piece).Where(piece => PieceHolds.IsInHouse(piece.State)).ToList();
        var rows = house.Select(piece => PieceHolds.Hold(piece, before.Contains(piece.Name), cause.Name, cause.Reason, cause.Person, cause.NowMs))
            .OfType<PieceHoldRecord>().ToList();
        PieceHoldStore.Insert(tx, rows);
        var subjects = reach.HoldsContainers ? reach.Stock.Select(contents => contents.Container.Name) : reach.Lots.Select(lot => lot.Name);
        var (held, stood) = Split(subjects, subject => HoldOne(tx, subject, cause));
        return new([.. rows.Select(row => row.Piece)], held, [.. house.Select(piece => piece.Name).Where(before.Contains), .. stood]);
    }

    /// <summary>Lets go what the cause holds; what something else holds as well stays held.</summary>
    public static HoldOutcome Release(StudioTransaction tx, HoldCause cause)
    {
        var pieces = PieceHoldStore.HeldBy(tx, cause.Name);
        PieceHoldStore.Insert(tx, pieces.Select(piece =>
            new PieceHoldRecord(piece, PieceHoldRecord.Released, cause.Name, cause.Reason, cause.Person, cause.NowMs)));
        var still = PieceStore.GetPieces(tx, pieces).Where(piece => piece.IsHeld).Select(piece => piece.Name).ToHashSet();
        var (free, stood) = Split(SubjectsOf(tx, cause.Name), subject => ReleaseOne(tx, subject, cause));
        return new([.. pieces.Where(piece => !still.Contains(piece))], free, [.. still.Order(StringComparer.Ordinal), .. stood]);
    }

    private static bool HoldOne(StudioTransaction tx, string subject, HoldCause cause)
    {
        var (isHeld, reason) = StateOf(tx, subject);
        var (rows, changes) = HoldStock.Hold(subject, isHeld, reason, CausesOf(tx, subject), cause);
        Insert(tx, rows);
        if (changes) Change(tx, subject, hold: true, cause);
        return rows.Any(row => row.Cause == cause.Name) || changes;
    }

    private static bool ReleaseOne(StudioTransaction tx, string subject, HoldCause cause)
    {
        var (row, changes) = HoldStock.Release(subject, StateOf(tx, subject).IsHeld, CausesOf(tx, subject), cause);
        Insert(tx, [row]);
        if (changes) Change(tx, subject, hold: false, cause);
        return changes;
    }

    private static (bool IsHeld, string Reason) StateOf(StudioSession session, string subject)
    {
        if (ResourceKind.Container.Matches(subject)) return LotStore.GetContainer(session, subject) is var container ? (container.Held, container.HoldReason) : default;
        var lot = LotStore.GetLot(session, subject);
        return (lot.Held, lot.HoldReason);
    }

    private static void Change(StudioTransaction tx, string subject, bool hold, HoldCause cause)
    {
        if (ResourceKind.Container.Matches(subject))
        {
            var container = LotStore.GetContainer(tx, subject);
            LotStore.Save(tx, [hold ? KeepContainer.Hold(container, cause.Reason, cause.NowMs) : KeepContainer.Release(container, cause.Reason, cause.NowMs)]);
            return;
        }
        var (row, containers) = (LotStore.GetLot(tx, subject), LotStore.ContainersOf(tx, subject));
        var (lot, events) = hold ? HoldLot.Hold(row, containers, cause.Reason, cause.NowMs) : HoldLot.Release(row, containers, cause.Reason, cause.NowMs);
        LotStore.UpdateHold(tx, lot);
        LotStore.Save(tx, events);
    }

    private static (IReadOnlyList<string> Changed, IReadOnlyList<string> Stood) Split(IEnumerable<string> subjects, Func<string, bool> change)
    {
        var done = subjects.ToList().ToLookup(change);
        return ([.. done[true]], [.. done[false]]);
    }

    private const string StandingHolds =
        """
          FROM stock_holds h
         WHERE h.kind = 'held'
           AND NOT EXISTS (SELECT 1 FROM stock_holds l WHERE l.subject = h.subject AND l.cause = h.cause AND l.sequence > h.sequence)
        """;

    private static IReadOnlyList<string> CausesOf(StudioSession session, string subject) =>
        session.Query<string>($"SELECT h.cause {StandingHolds} AND h.subject = @subject", new { subject });

    private static IReadOnlyList<string> SubjectsOf(StudioSession session, string cause) =>
        session.Query<string>($"SELECT h.subject {StandingHolds} AND h.cause = @cause ORDER BY h.subject", new { cause });

    private static void Insert(StudioTransaction tx, IReadOnlyList<StockHoldRecord> rows) => tx.Execute(
        """
        INSERT INTO stock_holds (subject, kind, cause, reason, person, event_ms)
        VALUES (@Subject, @Kind, @Cause, @Reason, @Person, @EventMs)
        """, rows);
}
