using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Pieces;

/// <summary>A row of `steps`: inserted once, never changed.</summary>
public sealed record StepRecord
{
    public required string Name { get; init; }
    public required string Piece { get; init; }
    public required Step.Types.Kind Kind { get; init; }
    public required long StepMs { get; init; }
    public required string Worker { get; init; }

    /// <summary>Where to, for a move; null for any other step.</summary>
    public string? Bench { get; init; }
    public string Note { get; init; } = "";

    /// <summary>JSON list of Caution.</summary>
    public required string Cautions { get; init; }
    public required long RecordMs { get; init; }

    public Step ToProto() => new()
    {
        Name = Name,
        Kind = Kind,
        StepTime = Instants.ToTimestamp(StepMs),
        Worker = Worker,
        Bench = Bench ?? "",
        Note = Note,
        Cautions = { MessageListJson.Read<Caution>(Cautions) },
    };
}

/// <summary>A step to insert, and the piece as it is after it.</summary>
public sealed record StepDecision(StepRecord Step, PieceRecord Piece);
