using Pourwright.V1;

namespace Pourwright.Studio.Exports;

/// <summary>A lot that came in, as much of it as came to one site.</summary>
public sealed record LotRow
{
    public required string Name { get; init; }
    public required Part Part { get; init; }
    public required string Supplier { get; init; }
    public required string SupplierLotCode { get; init; }
    public required string Gtin { get; init; }
    public required string LabelText { get; init; }

    /// <summary>`yyyy-MM-dd`: the first day on which it is refused.</summary>
    public string? ExpiryDate { get; init; }
    public required string Site { get; init; }
    public required long MassMg { get; init; }
    public required long ReceiveMs { get; init; }
}

/// <summary>What happened to a container, with what was in it then.</summary>
public sealed record MaterialRow
{
    public required long Sequence { get; init; }
    public required string Container { get; init; }

    /// <summary>One of <see cref="Lots.ContainerEventKinds"/>.</summary>
    public required string Kind { get; init; }

    /// <summary>Into the container is positive.</summary>
    public required long MassMg { get; init; }
    public string? Lot { get; init; }
    public string? OtherContainer { get; init; }
    public string? Mix { get; init; }
    public required long EventMs { get; init; }

    /// <summary>Where it stood.</summary>
    public required string Site { get; init; }

    /// <summary>Which of its contents, counted from 1: each filling begins another.</summary>
    public required int Contents { get; init; }

    /// <summary>After it.</summary>
    public required long BalanceMg { get; init; }

    /// <summary>filled: which of the contents of the other container.</summary>
    public int OtherContents { get; init; }

    /// <summary>Of the lot.</summary>
    public string? SupplierLotCode { get; init; }
    public string? Gtin { get; init; }

    /// <summary>Of the mix, as all below.</summary>
    public string? Mixer { get; init; }
    public double? HardenerPartsPer100Resin { get; init; }
    public double? RatioDeviationPercent { get; init; }
    public ResinSystem.Types.Basis? Basis { get; init; }
    public long? PotLifeEndMs { get; init; }
    public long? RecordMs { get; init; }

    /// <summary>Rows of one thing that was done stand side by side and share it.</summary>
    public (string Kind, string What, long Ms) Deed => this switch
    {
        { Mix: { } mix } => (Kind, mix, EventMs),
        { Lot: { } lot, Kind: Lots.ContainerEventKinds.Held or Lots.ContainerEventKinds.Released } => (Kind, lot, EventMs),
        _ => (Kind, "", Sequence),
    };
}

/// <summary>A pour, with what its piece says of itself.</summary>
public sealed record PouredRow
{
    public required string Name { get; init; }
    public required string Piece { get; init; }
    public required string Mix { get; init; }
    public required string Bench { get; init; }
    public required long MassMg { get; init; }
    public required double DepthMm { get; init; }
    public required long PourMs { get; init; }
    public required string Pourer { get; init; }
    public required int LayerCount { get; init; }
    public required long RecordMs { get; init; }
    public required string CastingClass { get; init; }
    public required string Mould { get; init; }
}

/// <summary>What a sensor read while a piece lay at a bench: temperatures in °C, humidity in %.</summary>
public sealed record CureRow
{
    public required string Piece { get; init; }
    public required string Bench { get; init; }
    public required string Sensor { get; init; }
    public required long FromMs { get; init; }
    public required long ToMs { get; init; }
    public required double LeastCelsius { get; init; }
    public required double MostCelsius { get; init; }
    public required double MeanCelsius { get; init; }

    /// <summary>In K².</summary>
    public required double VarianceCelsius { get; init; }
    public double? LeastPercent { get; init; }
    public double? MostPercent { get; init; }
    public double? MeanPercent { get; init; }
}

/// <summary>A check of a piece.</summary>
public sealed record CheckRow
{
    public required string Name { get; init; }
    public required string Piece { get; init; }
    public required string Site { get; init; }
    public required long CheckMs { get; init; }
    public required string Checker { get; init; }
    public required Check.Types.Touch Touch { get; init; }
    public double? ShoreD { get; init; }
    public required long RecordMs { get; init; }
}

/// <summary>A defect of a piece.</summary>
public sealed record DefectRow
{
    public required string Piece { get; init; }
    public required string Site { get; init; }
    public required Defect.Types.Kind Kind { get; init; }
    public required long FindMs { get; init; }
    public required string Finder { get; init; }
}

/// <summary>A piece that may not be used any more, or may again.</summary>
public sealed record PieceHoldRow
{
    public required string Piece { get; init; }
    public required string Site { get; init; }
    public required bool IsHeld { get; init; }

    /// <summary>The declared recall that holds it; empty for any other cause, and for a drill.</summary>
    public required string Recall { get; init; }
    public required string Person { get; init; }
    public required long EventMs { get; init; }
}

/// <summary>Something thrown away: so much of a mix, or a piece.</summary>
public sealed record WasteRow
{
    public string? Mix { get; init; }
    public string? Piece { get; init; }
    public required string Site { get; init; }
    public long MassMg { get; init; }
    public required long WasteMs { get; init; }
    public required string Worker { get; init; }
}

/// <summary>A correction of a pour or a mix.</summary>
public sealed record CorrectedRow
{
    public required long Sequence { get; init; }
    public required string Subject { get; init; }

    /// <summary>One of the kinds of <see cref="Mixes.CorrectionRecord"/>.</summary>
    public required string Kind { get; init; }
    public string? RightPour { get; init; }
    public required long CorrectMs { get; init; }
}
