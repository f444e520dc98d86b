namespace Pourwright.Planning.MachineDay;

/// <summary>What is done to a piece on the second day, in this order.</summary>
public enum SecondDayStage
{
    Demold,
    Planer,
    Saw,
    CoarseSand,
    FineSand,
    FirstCoat,
}

/// <summary>Minutes of one piece at each stage; 0 = left out.</summary>
/// <remarks>Every default: common practice, no source. An offering or a studio puts its own habits here.</remarks>
public sealed record SecondDayMinutes
{
    /// <summary>Out of the mould and scraped clean.</summary>
    public int Demold { get; init; } = 8;

    /// <summary>All passes, both faces.</summary>
    public int Planer { get; init; } = 14;

    /// <summary>Trimmed to size.</summary>
    public int Saw { get; init; } = 6;

    public int CoarseSand { get; init; } = 25;

    public int FineSand { get; init; } = 30;

    /// <summary>Laid on and wiped off.</summary>
    public int FirstCoat { get; init; } = 12;

    /// <summary>Minutes at a stage.</summary>
    public int At(SecondDayStage stage) => stage switch
    {
        SecondDayStage.Demold => Demold,
        SecondDayStage.Planer => Planer,
        SecondDayStage.Saw => Saw,
        SecondDayStage.CoarseSand => CoarseSand,
        SecondDayStage.FineSand => FineSand,
        _ => FirstCoat,
    };
}

/// <summary>How many pieces each stage takes at once: machines, and people who help where there is no machine.</summary>
/// <remarks>Every default: common practice, no source.</remarks>
public sealed record SecondDayStations
{
    /// <summary>People who demold.</summary>
    public int Demold { get; init; } = 2;

    public int Planers { get; init; } = 1;

    public int Saws { get; init; } = 1;

    /// <summary>Places to sand at.</summary>
    public int CoarseSand { get; init; } = 4;

    /// <summary>Places for the fine grits; null = the same places as for the coarse ones.</summary>
    public int? FineSand { get; init; } = 4;

    /// <summary>Places free of dust to oil at.</summary>
    public int FirstCoat { get; init; } = 3;

    /// <summary>Places at a stage; 0 where it has none of its own.</summary>
    public int At(SecondDayStage stage) => stage switch
    {
        SecondDayStage.Demold => Demold,
        SecondDayStage.Planer => Planers,
        SecondDayStage.Saw => Saws,
        SecondDayStage.CoarseSand => CoarseSand,
        SecondDayStage.FineSand => FineSand ?? 0,
        _ => FirstCoat,
    };
}

/// <summary>A piece on its second day.</summary>
/// <param name="Id">Name in messages.</param>
/// <param name="ReadyMinutes">When it is surely ready, in min from the start of the day; 0 = before it.</param>
/// <param name="Minutes">How long it takes.</param>
public sealed record SecondDayPiece(string Id, int ReadyMinutes, SecondDayMinutes Minutes);

/// <summary>The second day of a class: its pieces through demolding, planer, saw, sanding and the first coat.</summary>
public sealed record SecondDayShop
{
    private static readonly SecondDayStage[] Line = Enum.GetValues<SecondDayStage>();

    /// <exception cref="ArgumentException">A piece needs a stage without places, or minutes below 0.</exception>
    public SecondDayShop(IReadOnlyList<SecondDayPiece> pieces, SecondDayStations stations)
    {
        Pieces = pieces;
        Steps = [.. pieces.Select(piece => Line.Where(stage => piece.Minutes.At(stage) != 0).ToArray())];
        Stages = [.. Line.Where(stage => stations.At(stage) > 0)];
        Case = new(
            [.. Stages.Select(stage => new ShopStage(stage.ToString(), stations.At(stage)))],
            [.. pieces.Select((piece, p) => new ShopJob(piece.Id, piece.ReadyMinutes, [.. Steps[p].Select(step => Work(piece, step, stations))]))]);
    }

    public IReadOnlyList<SecondDayPiece> Pieces { get; }

    /// <summary>The same as jobs and stages; a job has the index of its piece.</summary>
    public ShopCase Case { get; }

    /// <summary>What each operation of a job is.</summary>
    internal IReadOnlyList<IReadOnlyList<SecondDayStage>> Steps { get; }

    private SecondDayStage[] Stages { get; }

    private ShopOperation Work(SecondDayPiece piece, SecondDayStage step, SecondDayStations stations)
    {
        var at = step == SecondDayStage.FineSand && stations.FineSand is null ? SecondDayStage.CoarseSand : step;
        return Array.IndexOf(Stages, at) is var stage and >= 0
            ? new(stage, piece.Minutes.At(step))
            : throw new ArgumentException($"Piece {piece.Id} takes {piece.Minutes.At(step)} min of {step}, for which there are {stations.At(at)} places; give it one, or 0 min.");
    }
}
