namespace Pourwright.Cure.Readiness;

/// <summary>
/// The ranges inside which a forecast may be asked: our choice, around what a casting studio meets, unless said.
/// </summary>
internal static class PieceRange
{
    public static void Check(PieceCase piece)
    {
        Check("Horizon", piece.HorizonHours, 1, 2000, "h");
        if (piece.BoardThicknessMm != 0)
            Check("Board thickness (0 for none)", piece.BoardThicknessMm, 3, 100, "mm");
        Check("Side sink", piece.SideSinkWattsPerCubicMetreKelvin, 0, 500, "W/(m³ K)");
        if (piece.ChannelWidthMm is { } width)
            Check("Width of the channel", width, 5, 5000, "mm");
        if (piece.WorkCelsius is { } work)
            Check("Temperature of the work", work, -10, 50, "°C");
        CheckAmbient(piece.Ambient);
        CheckLayers(piece.Layers, piece.HorizonHours);
    }

    public static void Check(CureSpread spread)
    {
        Check("Spread of the rate", spread.RateLnSd, 0, 1, "");
        Check("Spread of the heat of reaction", spread.HeatLnSd, 0, 0.5, "");
        Check("Spread of the heat loss", spread.HeatLossLnSd, 0, 1, "");
        Check("Spread of the ambient", spread.AmbientOffsetSdKelvin, 0, 10, "K");
        Check("Spread of the glass transition", spread.TgOffsetSdKelvin, 0, 20, "K");
        Check("Number of draws", spread.Draws, 8, 10_000, "");
    }

    private static void CheckAmbient(IReadOnlyList<AmbientPoint> ambient)
    {
        Check("Number of ambient points", ambient.Count, 1, 20_000, "");
        var earlier = -1e6;
        foreach (var point in ambient)
        {
            Check("Time of an ambient point (after the one before)", point.AtHours, Math.BitIncrement(earlier), 1e6, "h");
            Check("Ambient temperature", point.TemperatureCelsius, -10, 50, "°C");
            Check("Doubt of the ambient (multiple of its spread)", point.Doubt, 0, 20, "");
            earlier = point.AtHours;
        }
    }

    private static void CheckLayers(IReadOnlyList<PouredLayer> layers, double horizonHours)
    {
        Check("Number of layers", layers.Count, 1, 20, "");
        Check("Time of the first layer", layers[0].AtHours, 0, 0, "h");
        var earlier = -1.0;
        foreach (var layer in layers)
        {
            Check("Time of a layer (after the one before)", layer.AtHours, Math.BitIncrement(earlier), horizonHours - 1, "h");
            Check("Depth of a layer", layer.DepthMm, 0.5, 150, "mm");
            Check("Temperature of the pour", layer.TemperatureCelsius, 5, 60, "°C");
            ResinRange.Check(layer.Resin);
            earlier = layer.AtHours;
        }
    }

    private static void Check(string quantity, double value, double lowest, double highest, string unit) =>
        CureRangeException.Check(quantity, value, lowest, highest, unit);
}
