using Pourwright.Studio.Lots;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Recalls;

/// <summary>What was held or let go, by name, and what stayed as it was.</summary>
public sealed record HoldOutcome(IReadOnlyList<string> Pieces, IReadOnlyList<string> Stock, IReadOnlyList<string> Unchanged);

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
        var (held, stood) = Split(subjects, subject => StockHoldStore.Hold(tx, subject, cause));
        return new([.. rows.Select(row => row.Piece)], held, [.. house.Select(piece => piece.Name).Where(before.Contains), .. stood]);
    }

    /// <summary>Lets go what the cause holds; what something else holds as well stays held.</summary>
    public static HoldOutcome Release(StudioTransaction tx, HoldCause cause)
    {
        var pieces = PieceHoldStore.HeldBy(tx, cause.Name);
        PieceHoldStore.Insert(tx, pieces.Select(piece =>
            new PieceHoldRecord(piece, PieceHoldRecord.Released, cause.Name, cause.Reason, cause.Person, cause.NowMs)));
        var still = PieceStore.GetPieces(tx, pieces).Where(piece => piece.IsHeld).Select(piece => piece.Name).ToHashSet();
        var (free, stood) = Split(StockHoldStore.HeldBy(tx, cause.Name), subject => StockHoldStore.Release(tx, subject, cause));
        return new([.. pieces.Where(piece => !still.Contains(piece))], free, [.. still.Order(StringComparer.Ordinal), .. stood]);
    }

    private static (IReadOnlyList<string> Changed, IReadOnlyList<string> Stood) Split(IEnumerable<string> subjects, Func<string, bool> change)
    {
        var done = subjects.ToList().ToLookup(change);
        return ([.. done[true]], [.. done[false]]);
    }
}
