using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Pieces;

namespace Pourwright.Studio.Recalls;

/// <summary>Everything on record that something may have reached.</summary>
public sealed record Reach
{
    /// <summary>Lots that are suspect as a whole: these are held. None where a container, a mix or a day is.</summary>
    public IReadOnlyList<LotRecord> Lots { get; init; } = [];

    /// <summary>Containers that hold some of it, with their lots; without empty ones.</summary>
    public IReadOnlyList<ContainerContents> Stock { get; init; } = [];

    public IReadOnlyList<MixRecord> Mixes { get; init; } = [];

    public IReadOnlyList<ReachedPiece> Pieces { get; init; } = [];

    /// <summary>A container is suspect, not its lots: it and what it was poured into are held one by one.</summary>
    public bool HoldsContainers { get; init; }

    public bool IsEmpty => Stock.Count + Pieces.Count + Mixes.Count == 0;
}

/// <summary>A piece, the mixes through which it was reached, and whether it has its finish.</summary>
public sealed record ReachedPiece(PieceRecord Piece, IReadOnlyList<string> Mixes, bool IsFinished);
