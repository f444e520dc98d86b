using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Learning;

/// <summary>One course the air around a piece may take: as logged so far, and as it may go on.</summary>
/// <param name="Weight">How likely against the others; any unit.</param>
/// <param name="Ambient">As <see cref="PieceCase.Ambient"/>.</param>
public sealed record AmbientScenario(double Weight, IReadOnlyList<AmbientPoint> Ambient);

/// <summary>A piece of one resin and one lot, where it stands, and what is newly seen of it.</summary>
/// <remarks>
/// A piece of several lots goes under the one that decides its gates. A piece of several resins is refused: a belief is of one,
/// and <see cref="LadderForecaster"/> forecasts it without learning.
/// </remarks>
public sealed record ObservedPiece
{
    /// <summary>Names the pour for as long as the piece may be asked about.</summary>
    public required string Pour { get; init; }

    /// <summary>Names the lot.</summary>
    public required string Lot { get; init; }

    /// <summary>Names the site.</summary>
    public required string Site { get; init; }

    /// <summary>The piece; its ambient counts where there are no scenarios.</summary>
    public required PieceCase Piece { get; init; }

    /// <summary>Courses of the air; every draw is solved in each of them, so a few are enough. Empty: that of the piece.</summary>
    public IReadOnlyList<AmbientScenario> Scenarios { get; init; } = [];

    /// <summary>What was seen and not yet given, in any order.</summary>
    public IReadOnlyList<Observation> Observations { get; init; } = [];

    /// <summary>With weights that sum to 1.</summary>
    internal AmbientScenario[] Airs => Scenarios.Count == 0
        ? [new(1, Piece.Ambient)]
        : [.. Scenarios.Select(s => s with { Weight = s.Weight / Scenarios.Sum(o => o.Weight) })];

    internal void Check()
    {
        var resins = Piece.Layers.Select(layer => layer.Resin).Distinct().Count();
        CureRangeException.Check("Number of resins in a piece that learns", resins, 1, 1, "");
        foreach (var air in Scenarios)
            CureRangeException.Check("Weight of a course of the air", air.Weight, double.Epsilon, 1e9, "");
        foreach (var air in Airs)
            PieceRange.Check(Piece with { Ambient = air.Ambient });
        foreach (var observation in Observations)
            observation.Check(Piece.HorizonHours);
    }
}
