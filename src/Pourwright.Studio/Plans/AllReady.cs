using Pourwright.Cure.Learning;

namespace Pourwright.Studio.Plans;

/// <summary>When a poured piece may be sawn and planed, as its newest forecast says; Unix ms. Null: not within what it foretells.</summary>
public sealed record PieceGate(string Piece, string Label, long PourMs, long? LikelyMs, long? SafeMs);

/// <summary>The chance that all pieces of a class are ready, from their forecasts.</summary>
/// <remarks>
/// ln of the hours of a piece is taken as normal through its likely (50 %) and safe (95 %) time. Of its variance a pour's own part is
/// σ² = <see cref="OwnLnSd"/>², the rest is shared by the class (resin, lot, room) and moves all pieces together:
/// P = ∫ φ(z) Π Φ((ln(h/mᵢ) − sᵢ z)/σᵢ) dz. So it lies between that of unrelated pieces and that of the slowest one.
/// </remarks>
public static class AllReady
{
    /// <summary>A pour's own spread of 0.10 in its rate comes to 0.105 to 0.15 in the hours of the castings tested, near a runaway more.</summary>
    private const double OwnLnSd = 0.12;

    /// <summary>95 % of a normal spread, in standard deviations.</summary>
    private const double Score95 = 1.6449;

    private const double EndScore = 6, StepScore = 0.05, HourMs = 3_600_000;

    /// <summary>Chance, 0 to 1, that all of them are ready at an instant; 1 of none.</summary>
    public static double Chance(IReadOnlyList<PieceGate> pieces, long atMs)
    {
        if (pieces.Any(piece => piece.LikelyMs is null || piece.SafeMs is null)) return 0;
        var spreads = pieces.Select(piece => Spread.Of(piece, atMs)).ToArray();
        if (spreads.Any(spread => spread.LnLate == double.NegativeInfinity)) return 0;
        var sum = 0.0;
        for (var z = -EndScore; z <= EndScore + StepScore / 2; z += StepScore)
            sum += StepScore * Normal.Density(z) * spreads.Aggregate(1.0, (product, s) => product * Normal.Cdf((s.LnLate - s.SharedLnSd * z) / s.OwnLnSd));
        return Math.Min(1, sum);
    }

    /// <summary>The pieces that would not be safe by then, the latest first.</summary>
    public static IReadOnlyList<PieceGate> Late(IReadOnlyList<PieceGate> pieces, long atMs) =>
        [.. pieces.Where(piece => piece.SafeMs is not { } safe || safe > atMs).OrderByDescending(piece => piece.SafeMs ?? long.MaxValue)];

    private readonly record struct Spread(double LnLate, double OwnLnSd, double SharedLnSd)
    {
        public static Spread Of(PieceGate piece, long atMs)
        {
            var likelyHours = (piece.LikelyMs!.Value - piece.PourMs) / HourMs;
            var lnSd = Math.Max(1e-3, Math.Log((piece.SafeMs!.Value - piece.PourMs) / HourMs / likelyHours) / Score95);
            var own = Math.Min(AllReady.OwnLnSd, 0.95 * lnSd);
            return new(
                atMs <= piece.PourMs ? double.NegativeInfinity : Math.Log((atMs - piece.PourMs) / HourMs / likelyHours), own,
                Math.Sqrt(lnSd * lnSd - own * own));
        }
    }
}
