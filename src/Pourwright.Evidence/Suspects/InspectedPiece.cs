namespace Pourwright.Evidence.Suspects;

/// <summary>A piece that was inspected for one kind of defect, with what is on record of it. What has no record is left out and counts as unknown, never as fine.</summary>
/// <param name="Name">Its own; no two pieces share one.</param>
public sealed record InspectedPiece(string Name, bool IsDefective)
{
    /// <summary>Levels by factor: several where a piece had several, as two pours or a topped-up container bring it two lots.</summary>
    public IReadOnlyDictionary<Factor, IReadOnlyCollection<string>> Levels { get; init; } = new Dictionary<Factor, IReadOnlyCollection<string>>();

    /// <summary>Numbers of measured factors, in the unit of the factor; the least favourable one where a piece had several.</summary>
    public IReadOnlyDictionary<Factor, double> Numbers { get; init; } = new Dictionary<Factor, double>();

    /// <summary>The levels of a factor, measured ones as their band; empty where there is no record.</summary>
    public IReadOnlyCollection<string> LevelsOf(Factor factor) =>
        Numbers.TryGetValue(factor, out var number) ? [Bands.Level(factor, number)]
        : Levels.TryGetValue(factor, out var levels) ? levels : [];
}
