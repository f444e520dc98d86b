using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>All that is recorded about a lot and what was made from it.</summary>
public sealed record LotFacts
{
    public required Lot Lot { get; init; }

    /// <summary>Containers that hold or held some of it.</summary>
    public IReadOnlyList<Container> Containers { get; init; } = [];

    /// <summary>Mixes that hold some of it, first to last.</summary>
    public IReadOnlyList<Mix> Mixes { get; init; } = [];

    /// <summary>Pieces that hold some of it.</summary>
    public IReadOnlyList<LotPieceFacts> Pieces { get; init; } = [];

    /// <summary>Events of those containers, of all that filled them, and of all that the mixes drew on.</summary>
    public IReadOnlyList<ContainerMove> Moves { get; init; } = [];

    /// <summary>What left the mixes.</summary>
    public IReadOnlyList<MixOutflow> Outflows { get; init; } = [];
}

/// <summary>A piece, the mixes through which the lot came, where it is made, and what is wrong with it.</summary>
public sealed record LotPieceFacts(Piece Piece, string SiteDisplayName, IReadOnlyList<string> Mixes, IReadOnlyList<Defect> Defects);
