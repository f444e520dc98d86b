using Pourwright.Studio.Mixes;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>A row of `pours`: inserted once, never changed.</summary>
public sealed record PourRecord
{
    public required string Name { get; init; }
    public required string Piece { get; init; }
    public required string Mix { get; init; }
    public required string Bench { get; init; }
    public required long MassMg { get; init; }
    public required double DepthMm { get; init; }
    public required long PourMs { get; init; }
    public double? ResinTemperatureCelsius { get; init; }
    public double? SurfaceTemperatureCelsius { get; init; }
    public required string Pourer { get; init; }
    public string DeviationReason { get; init; } = "";

    /// <summary>From 1. Pours of a piece come in the order of their times, so that this is their order as well.</summary>
    public required int LayerCount { get; init; }

    /// <summary>JSON list of Caution.</summary>
    public required string Cautions { get; init; }
    public required long RecordMs { get; init; }

    public Pour ToProto() => ToProto([]);

    /// <summary>With what was corrected of it and of those that it stands for, first to last.</summary>
    public Pour ToProto(IReadOnlyList<CorrectionRecord> corrections)
    {
        var last = corrections.LastOrDefault(correction => correction.Subject == Name);
        var pour = new Pour
        {
            Name = Name,
            Mix = Mix,
            Bench = Bench,
            MassMg = MassMg,
            DepthMm = DepthMm,
            PourTime = Instants.ToTimestamp(PourMs),
            Pourer = Pourer,
            DeviationReason = DeviationReason,
            LayerCount = LayerCount,
            Cautions = { MessageListJson.Read<Caution>(Cautions) },
            DidNotOccur = last?.Kind == CorrectionRecord.DidNotOccur,
            RightPour = last?.RightPour ?? "",
            Corrections = { corrections.Select(correction => correction.ToProto()) },
        };
        if (ResinTemperatureCelsius is { } resin) pour.ResinTemperatureCelsius = resin;
        if (SurfaceTemperatureCelsius is { } surface) pour.SurfaceTemperatureCelsius = surface;
        return pour;
    }
}

/// <summary>A pour to insert, and the piece as it is after it.</summary>
public sealed record PourDecision(PourRecord Pour, PieceRecord Piece);
