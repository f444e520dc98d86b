using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Readiness;

/// <summary>Finds when the gates open and how hot the resin becomes, while the solver runs.</summary>
internal sealed class GateWatch : IStepWatch
{
    /// <summary>Handling begins 10 K below the glass transition (our choice, to be fitted to checks).</summary>
    public const double HandleKelvin = 10;

    private readonly LastingGate gel = new((step, at) => Gel(step.Extremes(at)));
    private readonly LastingGate demold;
    private readonly LastingGate handle;
    private readonly double workKelvin;

    /// <param name="workKelvin">Hardness counts at this temperature where the piece is colder, in K; 0 = at its own.</param>
    public GateWatch(double workKelvin)
    {
        this.workKelvin = workKelvin;
        demold = new((step, at) => step.Extremes(at).LeastTgOver(workKelvin));
        handle = new((step, at) => step.Extremes(at).LeastTgOver(workKelvin) - HandleKelvin);
    }

    public double GelSeconds => gel.OpenSeconds;
    public double DemoldSeconds => demold.OpenSeconds;
    public double HandleSeconds => handle.OpenSeconds;
    public double PeakKelvin { get; private set; }
    public double PeakSeconds { get; private set; }
    public double LeastConversion { get; private set; }

    public void Saw(SolvedStep solved) => Saw(solved, solved.Extremes(0), solved.Extremes(0.5), solved.Extremes(1));

    /// <summary>As the other, with the extremes already taken at the start, the middle and the end.</summary>
    public void Saw(SolvedStep solved, ResinExtremes start, ResinExtremes middle, ResinExtremes end)
    {
        var (glass0, glass1, glass2) = (start.LeastTgOver(workKelvin), middle.LeastTgOver(workKelvin), end.LeastTgOver(workKelvin));
        gel.Saw(solved, Gel(start), Gel(middle), Gel(end));
        demold.Saw(solved, glass0, glass1, glass2);
        handle.Saw(solved, glass0 - HandleKelvin, glass1 - HandleKelvin, glass2 - HandleKelvin);
        LeastConversion = end.LeastConversion;
        SeePeak(solved, start, middle, end);
    }

    private static double Gel(ResinExtremes extremes) => extremes.LeastConversion - GelPoint.DiepoxideDiamine;

    private void SeePeak(SolvedStep solved, ResinExtremes start, ResinExtremes middle, ResinExtremes end)
    {
        Consider(start.HottestKelvin, solved.FromSeconds);
        Consider(end.HottestKelvin, solved.ToSeconds);
        if (PeaksInside(solved, Math.Max(middle.HottestKelvin, end.HottestKelvin)))
            ConsiderInside(solved);
    }

    // Between the ends a step bends by less than a kelvin: a summit lower than that cannot be the greatest.
    private bool PeaksInside(SolvedStep solved, double hottest) =>
        hottest > PeakKelvin - 1
        && solved.StartKelvinPerSecond(solved.HottestNode(0)) > 0
        && solved.EndKelvinPerSecond(solved.HottestNode(1)) < 0;

    private void ConsiderInside(SolvedStep solved)
    {
        var (low, high) = (0.0, 1.0);
        while (high - low > 1e-5)
        {
            var third = (high - low) / 3;
            if (solved.Extremes(low + third).HottestKelvin < solved.Extremes(high - third).HottestKelvin)
                low += third;
            else
                high -= third;
        }
        var at = (low + high) / 2;
        Consider(HottestBetweenNodes(solved, at), solved.FromSeconds + at * solved.LengthSeconds);
    }

    // The summit of the parabola through the hottest node and its neighbours.
    private static double HottestBetweenNodes(SolvedStep solved, double at)
    {
        var node = solved.HottestNode(at);
        var here = solved.Kelvin(node, at);
        var layer = solved.Slab.Layers.Last(l => l.First <= node);
        if (node == layer.First || node == layer.End - 1)
            return here;
        var (below, above) = (solved.Kelvin(node - 1, at), solved.Kelvin(node + 1, at));
        var bend = 2 * here - below - above;
        return bend > 0 ? here + (above - below) * (above - below) / (8 * bend) : here;
    }

    private void Consider(double kelvin, double seconds)
    {
        if (kelvin > PeakKelvin)
            (PeakKelvin, PeakSeconds) = (kelvin, seconds);
    }
}
