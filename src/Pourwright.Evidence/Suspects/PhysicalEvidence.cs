namespace Pourwright.Evidence.Suspects;

/// <summary>Which way something speaks.</summary>
public enum Bearing
{
    Unknown,
    For,
    Against,
}

/// <summary>What is known of one piece beside the counts, and how it bears on a suspect.</summary>
/// <remarks>
/// How it counts is in <see cref="EvidenceWeights"/>: it moves a suspect within bounds, it never accuses one without counts, and
/// it never makes a suspicion strong. Evidence on pieces that are not defective is not looked at.
/// </remarks>
/// <param name="Piece">Its name.</param>
/// <param name="Level">One level of the factor; null for each that the piece has.</param>
/// <param name="Reason">What was seen or computed, in words.</param>
public sealed record PhysicalEvidence(string Piece, Factor Factor, string? Level, Bearing Bearing, string Reason)
{
    /// <summary>The reason with its values; null where only words were given.</summary>
    public Finding? Finding { get; init; }

    private static readonly Factor[] Cure = [Factor.Temperature, Factor.HoursToDemold, Factor.ConversionAtDemold];

    private static readonly Factor[] Material =
        [Factor.LotA, Factor.LotB, Factor.PigmentLot, Factor.Container, Factor.Mix, Factor.Scale, Factor.RatioDeviation];

    /// <summary>What the cure engine's forecast for a good lot says of a piece found soft.</summary>
    /// <remarks>
    /// Too little cure in the room as recorded speaks for room and hours and against what went into the cup; enough cure speaks
    /// the other way round. Of humidity, wood, moulds, sites and people the engine knows nothing, and nothing is said.
    /// </remarks>
    /// <param name="wasTooLittle">Whether the conversion forecast at demold was too low; null where it could not be told.</param>
    /// <param name="finding">With the numbers, where there are any.</param>
    public static IReadOnlyList<PhysicalEvidence> OfCure(string piece, bool? wasTooLittle, Finding? finding = null) => wasTooLittle switch
    {
        true => Of(piece, Cure, Material, finding ?? new("CURE_TOO_LITTLE", "The room as recorded cured it too little, also with a good lot.")),
        false => Of(piece, Material, Cure, finding ?? new("CURE_ENOUGH", "The room as recorded should have cured it.")),
        null => [],
    };

    private static PhysicalEvidence[] Of(string piece, Factor[] @for, Factor[] against, Finding finding) =>
    [
        .. @for.Select(factor => new PhysicalEvidence(piece, factor, null, Bearing.For, finding.Text) { Finding = finding }),
        .. against.Select(factor => new PhysicalEvidence(piece, factor, null, Bearing.Against, finding.Text) { Finding = finding }),
    ];
}
