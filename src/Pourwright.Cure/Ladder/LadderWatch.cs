using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>Finds the rungs that <see cref="GateWatch"/> does not, while the solver runs.</summary>
internal sealed class LadderWatch(AmbientCourse air) : IStepWatch
{
    private readonly GateWatch gates = new();
    private readonly LastingGate sand =
        new((step, at) => step.Extremes(at).LeastTgMinusTKelvin - LadderTerms.SandKelvin);
    private readonly LastingGate fullCure = new(LeastOverFullCure);
    private Slab? slab;
    private LastingGate firstGel = null!, opens = null!, closes = null!;

    public double PeakKelvin => gates.PeakKelvin;
    public double PeakSeconds => gates.PeakSeconds;
    public double WindowOpensSeconds => opens.OpenSeconds;
    public double WindowClosesSeconds => closes.OpenSeconds;

    /// <summary>Layers of resin at the end of the run, each with its least conversion.</summary>
    public IReadOnlyList<(CureReaction Reaction, double LeastConversion)> End { get; private set; } = [];

    public double Seconds(LadderGate gate) => gate switch
    {
        LadderGate.FirstGel => firstGel.OpenSeconds,
        LadderGate.Gel => gates.GelSeconds,
        LadderGate.Demold => gates.DemoldSeconds,
        LadderGate.Handle => gates.HandleSeconds,
        LadderGate.Sand => sand.OpenSeconds,
        _ => fullCure.OpenSeconds,
    };

    public void Saw(SolvedStep solved)
    {
        if (solved.Slab != slab)
            BeginPour(solved.Slab);
        gates.Saw(solved);
        sand.Saw(solved);
        fullCure.Saw(solved);
        firstGel.Saw(solved);
        SeeWindow(solved);
        End = [.. solved.Slab.Layers.Where(l => l.IsResin)
            .Select(l => (l.Layer.Material.Reaction!, Nodes(l).Min(node => solved.Conversion(node, 1))))];
    }

    // The window and the first gel are those of the last pour: each pour begins anew.
    private void BeginPour(Slab poured)
    {
        slab = poured;
        var (last, top) = (poured.Layers[^1], poured.Nodes - 1);
        firstGel = new((step, at) => Nodes(last).Max(node => step.Conversion(node, at)) - GelPoint.DiepoxideDiamine);
        closes = new((step, at) => step.Conversion(top, at) - LadderTerms.WindowClosesAtConversion);
        opens = new((step, at) => Math.Min(
            step.Conversion(top, at) - GelPoint.DiepoxideDiamine,
            (LadderTerms.WindowOpensWithinKelvin - FarthestFromAir(step, at)) / 100));
    }

    // What happens after the window has closed no longer opens or shuts it.
    private void SeeWindow(SolvedStep solved)
    {
        if (double.IsFinite(closes.OpenSeconds))
            return;
        opens.Saw(solved);
        closes.Saw(solved);
    }

    private double FarthestFromAir(SolvedStep step, double at)
    {
        var kelvin = air.Kelvin(step.FromSeconds + at * step.LengthSeconds);
        return step.Slab.Layers.Where(l => l.IsResin).SelectMany(Nodes).Max(node => Math.Abs(step.Kelvin(node, at) - kelvin));
    }

    private static double LeastOverFullCure(SolvedStep step, double at) =>
        step.Slab.Layers.Where(l => l.IsResin).SelectMany(l => Nodes(l).Select(node =>
            step.Conversion(node, at)
            - LadderTerms.Conversion(LadderGate.FullCure, l.Layer.Material.Reaction!.Glass, step.Kelvin(node, at)))).Min();

    private static IEnumerable<int> Nodes(PlacedLayer layer) => Enumerable.Range(layer.First, layer.Nodes);
}
