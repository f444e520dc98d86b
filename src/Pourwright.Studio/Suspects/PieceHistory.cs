using Pourwright.Evidence.Suspects;
using Kind = Pourwright.V1.Defect.Types.Kind;
using PieceState = Pourwright.V1.Piece.Types.State;
using StepKind = Pourwright.V1.Step.Types.Kind;
using Touch = Pourwright.V1.Check.Types.Touch;

namespace Pourwright.Studio.Suspects;

/// <summary>That a piece was inspected for a kind of defect, or for several as one.</summary>
/// <param name="Ms">When its outcome was known, Unix ms: the finding of the defect, else the last of what showed that it has none.</param>
/// <param name="Defect">The first defect of these kinds; null for a fine piece.</param>
public sealed record PieceInspection(long Ms, DefectRow? Defect)
{
    public bool IsDefective => Defect is not null;
}

/// <summary>One piece with what happened to it.</summary>
public sealed record PieceHistory(
    PieceRow Piece, IReadOnlyList<PourRow> Pours, IReadOnlyList<StepRow> Steps, IReadOnlyList<TouchRow> Touches, IReadOnlyList<DefectRow> Defects)
{
    /// <summary>Every piece of the records, by name.</summary>
    public static IEnumerable<PieceHistory> Of(SuspectRecords records) => records.Pieces.Select(piece => new PieceHistory(
        piece, [.. records.Pours[piece.Name]], [.. records.Steps[piece.Name]], [.. records.Touches[piece.Name]], [.. records.Defects[piece.Name]]));

    public long FirstPourMs => Pours[0].PourMs;

    /// <summary>When it was taken out of its mould for good, Unix ms; null where that is not on record.</summary>
    public long? DemoldMs => Steps.LastOrDefault(step => step.Kind == StepKind.Demold)?.StepMs;

    /// <summary>Whether and when it was inspected for these kinds, any defect where none is named; null where nobody looked.</summary>
    /// <remarks>
    /// A piece still in its mould says nothing, and one given up without that defect on record says nothing either: nobody said why.
    /// Fine counts as fine only where each kind would have shown.
    /// </remarks>
    public PieceInspection? Inspected(IReadOnlyList<Kind> kinds)
    {
        if (Defects.FirstOrDefault(defect => kinds.Count == 0 || kinds.Contains(defect.Kind)) is { } defect) return new(defect.FindMs, defect);
        if (Piece.State == PieceState.Scrapped) return null;
        var shown = (kinds.Count == 0 ? [Kind.Unspecified] : kinds).Select(ShownMs).ToArray();
        return shown.All(ms => ms is not null) ? new(shown.Max()!.Value, null) : null;
    }

    private long? ShownMs(Kind kind)
    {
        var stepMs = Steps.FirstOrDefault(step => step.StepMs >= Pours[^1].PourMs && DefectKinds.Showing(kind).Contains(step.Kind))?.StepMs;
        var touchMs = DefectKinds.ShowsByTouch(kind) && Touches is [.., { Touch: Touch.Firm } last] && last.CheckMs >= Pours[^1].PourMs ? last.CheckMs : (long?)null;
        return stepMs is null ? touchMs : touchMs < stepMs ? touchMs : stepMs;
    }

    /// <summary>When its cure is looked at, Unix ms: at demold, else when the defect was found, else when it was handed over; null where none of them is on record.</summary>
    public long? LookMs(DefectRow? defect) =>
        (DemoldMs ?? defect?.FindMs ?? Steps.FirstOrDefault(step => step.Kind == StepKind.HandOver)?.StepMs) is { } ms && ms > FirstPourMs ? ms : null;

    /// <summary>Elapsed from the last pour before it to demold, in h; null where that is not on record.</summary>
    public double? HoursToDemold => DemoldMs is { } demoldMs && Pours.LastOrDefault(pour => pour.PourMs < demoldMs) is { } last
        ? (demoldMs - last.PourMs) / 3_600_000.0
        : null;
}
