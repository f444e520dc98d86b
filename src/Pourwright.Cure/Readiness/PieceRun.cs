using Pourwright.Cure.Heat;

namespace Pourwright.Cure.Readiness;

/// <summary>Departure of one run from the likely one: factors and shifts.</summary>
/// <param name="RateFactor">Of both chemical rate constants.</param>
/// <param name="HeatFactor">Of the heat of reaction.</param>
/// <param name="HeatLossFactor">Of the heat lost through faces and sides.</param>
/// <param name="AmbientShiftKelvin">Of the air where its doubt is 1, in K; elsewhere times the doubt.</param>
/// <param name="GlassShiftKelvin">Of the glass transition at every conversion, in K.</param>
public readonly record struct Departure(
    double RateFactor, double HeatFactor, double HeatLossFactor, double AmbientShiftKelvin, double GlassShiftKelvin)
{
    /// <summary>The likely run itself.</summary>
    public static Departure None => new(1, 1, 1, 0, 0);
}

/// <summary>
/// How closely a run looks: cells in mm, error of a step, and how near it keeps to the points of the ambient, in K.
/// </summary>
internal readonly record struct Detail(double CellMm, double Tolerance, double AmbientWithinKelvin)
{
    /// <summary>For the draws of a spread, which departs by kelvins and hours: times move by two minutes or less.</summary>
    public static Detail Coarse => new(1.5, CureSolver.LooseTolerance, 0.2);

    /// <summary>For the likely run: every reference case holds its tolerance.</summary>
    /// <remarks>A runaway burns through the depth in a front a few millimetres thick, which wants more nodes.</remarks>
    public static Detail Fine(double psi) =>
        new(RunawayScreen.Risk(psi) == RunawayRisk.Runaway ? 0.5 : 1, CureSolver.DefaultTolerance, 1e-9);
}

/// <summary>Solves one piece, pour after pour.</summary>
internal static class PieceRun
{
    /// <summary>0 °C, in K: exact by definition.</summary>
    public const double ZeroCelsius = 273.15;

    /// <summary>
    /// Free convection and radiation above a level face, in W/(m² K) (5–10 is usual; from memory, not re-checked).
    /// </summary>
    public const double TopWPerM2K = 9;

    /// <summary>The same under a board that stands clear of the bench, in W/(m² K) (our choice in the same range).</summary>
    public const double UnderBoardWPerM2K = 8;

    /// <summary>
    /// Base without heat store: about the 18 mm board as a mere resistance, 1/(1/8 + 0.018/0.13) = 3.8, rounded.
    /// </summary>
    public const double BareBaseWPerM2K = 4;

    /// <summary>Brings the piece from its first pour to its horizon.</summary>
    public static void Solve(
        CureSolver solver, PieceCase piece, Departure departure, Detail detail, params ReadOnlySpan<IStepWatch> watches)
    {
        var ambient = Ambient(piece, departure.AmbientShiftKelvin, detail.AmbientWithinKelvin);
        var surroundings = Around(piece, ambient, departure.HeatLossFactor);
        var slab = piece.BoardThicknessMm > 0 ? Slab.Of(Board(piece.BoardThicknessMm), ambient.Kelvin(0)) : null;
        for (var i = 0; i < piece.Layers.Count; i++)
        {
            slab = Poured(slab, piece.Layers[i], departure, detail.CellMm);
            var until = i + 1 < piece.Layers.Count ? piece.Layers[i + 1].AtHours : piece.HorizonHours;
            solver.Run(slab, surroundings, piece.Layers[i].AtHours * 3600, until * 3600, watches);
        }
    }

    /// <summary>Heat-transfer coefficients of base and top together, in W/(m² K), the board counted as a resistance.</summary>
    public static double FacesWPerM2K(double boardThicknessMm) => TopWPerM2K + (boardThicknessMm > 0
        ? 1 / (1 / UnderBoardWPerM2K + boardThicknessMm / 1000 / Material.WoodBasedBoard.ConductivityWPerMK)
        : BareBaseWPerM2K);

    /// <summary>Air at a time, in °C.</summary>
    public static double AirCelsius(PieceCase piece, double atHours) =>
        Ambient(piece, 0, Detail.Fine(0).AmbientWithinKelvin).Kelvin(atHours * 3600) - ZeroCelsius;

    /// <summary>Doubt of the air at a time, as a multiple of its spread.</summary>
    public static double AirDoubt(PieceCase piece, double atHours) =>
        new AmbientCourse(piece.Ambient.Select(p => (p.AtHours * 3600, p.Doubt))).Kelvin(atHours * 3600);

    /// <summary>The air of one run, in K over s from the first pour: its own course, shifted as far as it is in doubt.</summary>
    public static AmbientCourse Ambient(PieceCase piece, double shiftKelvin, double withinKelvin) =>
        new(piece.Ambient.Select(p => (p.AtHours * 3600, p.TemperatureCelsius + ZeroCelsius + shiftKelvin * p.Doubt)), withinKelvin);

    private static Surroundings Around(PieceCase piece, AmbientCourse ambient, double lossFactor) => new(
        ambient,
        (piece.BoardThicknessMm > 0 ? UnderBoardWPerM2K : BareBaseWPerM2K) * lossFactor,
        TopWPerM2K * lossFactor,
        piece.SideSinkWattsPerCubicMetreKelvin * lossFactor);

    private static Slab Poured(Slab? below, PouredLayer layer, Departure departure, double cellMm)
    {
        var resin = layer.Resin.Departed(departure);
        var poured = new SlabLayer(layer.DepthMm / 1000, Cells(layer.DepthMm, cellMm), resin.Material);
        var kelvin = layer.TemperatureCelsius + ZeroCelsius;
        return below is null ? Slab.Of(poured, kelvin) : below.With(poured, kelvin);
    }

    // The board only stores and passes heat: 1.5 mm a cell are enough.
    private static SlabLayer Board(double thicknessMm) =>
        new(thicknessMm / 1000, Math.Max(Slab.LeastCells, (int)Math.Ceiling(thicknessMm / 1.5)), Material.WoodBasedBoard);

    // By fours, so that the middle is a node.
    private static int Cells(double depthMm, double cellMm) => 4 * (int)Math.Ceiling(Math.Clamp(depthMm / cellMm, 12, 128) / 4);
}
