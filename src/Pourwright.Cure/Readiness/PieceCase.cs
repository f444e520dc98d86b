namespace Pourwright.Cure.Readiness;

/// <summary>One pour into a piece.</summary>
/// <param name="AtHours">Time of the pour, in h from the first one, which is at 0.</param>
/// <param name="DepthMm">Depth of this layer alone, in mm.</param>
/// <param name="TemperatureCelsius">Temperature of the mix when poured, in °C.</param>
/// <param name="Resin">The resin poured.</param>
public sealed record PouredLayer(double AtHours, double DepthMm, double TemperatureCelsius, ResinCureModel Resin);

/// <summary>Air around the piece at one time.</summary>
/// <param name="AtHours">In h from the first pour; may be negative.</param>
/// <param name="TemperatureCelsius">In °C.</param>
/// <param name="Doubt">
/// How unsure this is, as a multiple of <see cref="CureSpread.AmbientOffsetSdKelvin"/>: 0 = known exactly; straight lines
/// between points, as the temperature. A draw's air is the temperature plus its offset times the doubt.
/// </param>
public sealed record AmbientPoint(double AtHours, double TemperatureCelsius, double Doubt = 1);

/// <summary>One piece: what was poured into it, what it stands on, and the air around it.</summary>
public sealed record PieceCase
{
    /// <summary>Pours in order, the first at 0 h.</summary>
    public required IReadOnlyList<PouredLayer> Layers { get; init; }

    /// <summary>
    /// Air temperature: straight lines between points in rising time, level before the first and after the last.
    /// </summary>
    public required IReadOnlyList<AmbientPoint> Ambient { get; init; }

    /// <summary>Wood-based board under the resin, in mm; 0 = no board, the base only resists the heat.</summary>
    /// <remarks>18 mm is a common panel (common practice, no source).</remarks>
    public double BoardThicknessMm { get; init; } = 18;

    /// <summary>
    /// Loss through the sides, in W per m³ of resin and K: 2U/W for a channel of width W between walls of U W/(m² K).
    /// </summary>
    /// <remarks>
    /// 0, the default, is the hot side for the peak; a channel narrower than ten depths is cooler and slower at its edges.
    /// </remarks>
    public double SideSinkWattsPerCubicMetreKelvin { get; init; }

    /// <summary>Width of the resin between walls of wood, in mm; null, the default: no wood beside it.</summary>
    /// <remarks>Its middle is then solved for the peak and its edge for the gates, see <see cref="Ladder.NarrowChannel"/>.</remarks>
    public double? ChannelWidthMm { get; init; }

    /// <summary>
    /// Temperature of the room in which people work, in °C: where the piece is colder, demold, handle and sand count at this. Null,
    /// the default: at its own temperature.
    /// </summary>
    /// <remarks>Cold resin is hard and softens again in a warm room: what hardens at 12 °C stays below what a saw at 20 °C asks.</remarks>
    public double? WorkCelsius { get; init; }

    /// <summary>The same in K; 0 where none is given.</summary>
    internal double WorkKelvin => WorkCelsius + PieceRun.ZeroCelsius ?? 0;

    /// <summary>How far to look, in h from the first pour.</summary>
    public double HorizonHours { get; init; } = 336;
}
