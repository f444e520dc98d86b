using Pourwright.Cure.Heat;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Learning;

/// <summary>A piece at the instant of a check, in one run.</summary>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="LeastTgMinusTKelvin">Least Tg − T over all resin, in K.</param>
/// <param name="SurfaceTgMinusTKelvin">Tg − T of the upper face, in K.</param>
/// <param name="SurfaceCelsius">Temperature of the upper face, in °C.</param>
/// <param name="LeastConversion">Least conversion over all resin, 0 to 1.</param>
/// <param name="LeastTgCelsius">Least glass-transition temperature over all resin, in °C.</param>
public readonly record struct Sight(
    double AtHours, double LeastTgMinusTKelvin, double SurfaceTgMinusTKelvin, double SurfaceCelsius, double LeastConversion, double LeastTgCelsius);

/// <summary>All that checks and gates need of one run of a piece; hours from the first pour, infinite where never reached.</summary>
/// <param name="Sights">The piece at the instants of its checks, in order.</param>
/// <param name="SurfaceMaximumCelsius">Hottest upper face, in °C.</param>
/// <param name="PeakCelsius">Hottest point, in °C.</param>
/// <param name="GelHours">As <see cref="PieceForecast.Gel"/>.</param>
/// <param name="DemoldHours">As <see cref="PieceForecast.Demold"/>.</param>
/// <param name="HandleHours">As <see cref="PieceForecast.Handle"/>.</param>
public sealed record ObservedRun(
    IReadOnlyList<Sight> Sights, double SurfaceMaximumCelsius, double PeakCelsius,
    double GelHours, double DemoldHours, double HandleHours)
{
    /// <summary>Solves a piece that departs from the likely one, and looks at it at the hours given.</summary>
    /// <param name="piece">The piece.</param>
    /// <param name="departure">How it departs.</param>
    /// <param name="atHours">When to look, in h from the first pour, inside the horizon.</param>
    /// <exception cref="CureRangeException">An input is outside the range in which the model may be asked.</exception>
    public static ObservedRun Solve(PieceCase piece, Departure departure, params IEnumerable<double> atHours)
    {
        PieceRange.Check(piece);
        double[] hours = [.. atHours.Distinct().Order()];
        foreach (var at in hours)
            CureRangeException.Check("Time of a check", at, 0, piece.HorizonHours, "h");
        return Solve(new CureSolver(Detail.Coarse.Tolerance), piece, departure, hours);
    }

    internal static ObservedRun Solve(CureSolver solver, PieceCase piece, Departure departure, double[] sortedHours) =>
        NarrowChannel.Edge(piece) is { } edge
            ? Through(solver, NarrowChannel.Core(piece), departure, sortedHours).NoFasterThan(Through(solver, edge, departure, sortedHours))
            : Through(solver, piece, departure, sortedHours);

    private static ObservedRun Through(CureSolver solver, PieceCase piece, Departure departure, double[] sortedHours)
    {
        var (gates, eye) = (new GateWatch(piece.WorkKelvin), new SightWatch(sortedHours));
        PieceRun.Solve(solver, piece, departure, Detail.Coarse, gates, eye);
        return new(
            eye.Sights, eye.MaximumKelvin - PieceRun.ZeroCelsius, gates.PeakKelvin - PieceRun.ZeroCelsius,
            gates.GelSeconds / 3600, gates.DemoldSeconds / 3600, gates.HandleSeconds / 3600);
    }

    // Surfaces are measured in the middle, touched is the slowest place.
    private ObservedRun NoFasterThan(ObservedRun edge) => this with
    {
        Sights = [.. Sights.Zip(edge.Sights, (here, there) => here with
        {
            LeastTgMinusTKelvin = Math.Min(here.LeastTgMinusTKelvin, there.LeastTgMinusTKelvin),
            LeastConversion = Math.Min(here.LeastConversion, there.LeastConversion),
            LeastTgCelsius = Math.Min(here.LeastTgCelsius, there.LeastTgCelsius),
        })],
        GelHours = Math.Max(GelHours, edge.GelHours),
        DemoldHours = Math.Max(DemoldHours, edge.DemoldHours),
        HandleHours = Math.Max(HandleHours, edge.HandleHours),
    };

    internal Sight At(double hours)
    {
        foreach (var sight in Sights)
            if (sight.AtHours == hours)
                return sight;
        throw new ArgumentException($"The run was not looked at after {hours} h; ask it for that hour when solving.", nameof(hours));
    }

    internal double Hours(CureGate gate) => gate switch
    {
        CureGate.Gel => GelHours,
        CureGate.Demold => DemoldHours,
        _ => HandleHours,
    };

    private sealed class SightWatch(double[] hours) : IStepWatch
    {
        private readonly Sight[] sights = new Sight[hours.Length];
        private int next;

        public Sight[] Sights => sights;
        public double MaximumKelvin { get; private set; }

        public void Saw(SolvedStep solved)
        {
            var top = solved.Slab.Nodes - 1;
            MaximumKelvin = Math.Max(MaximumKelvin, Math.Max(solved.Kelvin(top, 0.5), solved.Kelvin(top, 1)));
            for (; next < hours.Length && hours[next] * 3600 <= solved.ToSeconds; next++)
                sights[next] = Look(solved, top, hours[next]);
        }

        private static Sight Look(SolvedStep solved, int top, double atHours)
        {
            var fraction = Math.Clamp((atHours * 3600 - solved.FromSeconds) / solved.LengthSeconds, 0, 1);
            var (kelvin, glass) = (solved.Kelvin(top, fraction), solved.Slab.Layers[^1].Layer.Material.Reaction!.Glass);
            var extremes = solved.Extremes(fraction);
            return new(
                atHours, extremes.LeastTgMinusTKelvin,
                glass.Kelvin(solved.Conversion(top, fraction)) - kelvin, kelvin - PieceRun.ZeroCelsius,
                extremes.LeastConversion, extremes.LeastTgKelvin - PieceRun.ZeroCelsius);
        }
    }
}
