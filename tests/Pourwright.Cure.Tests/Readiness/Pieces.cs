using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>Plain pieces to vary.</summary>
internal static class Pieces
{
    /// <summary>Nothing departs from the likely run.</summary>
    public static CureSpread NoSpread { get; } = new()
    {
        RateLnSd = 0, HeatLnSd = 0, HeatLossLnSd = 0, AmbientOffsetSdKelvin = 0, TgOffsetSdKelvin = 0, Draws = 8,
    };

    public static PieceCase Deep(double depthMm = 40, double celsius = 20) => Of(ResinCureModel.DeepCasting, depthMm, celsius);

    public static PieceCase Of(ResinCureModel resin, double depthMm, double celsius) => new()
    {
        Layers = [new(0, depthMm, celsius, resin)],
        Ambient = [new(0, celsius)],
    };
}
