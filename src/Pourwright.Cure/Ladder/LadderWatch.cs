using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>Finds the rungs that <see cref="GateWatch"/> does not, while the solver runs.</summary>
internal sealed class LadderWatch(AmbientCourse air, double workKelvin) : IStepWatch
{
    private readonly GateWatch gates = new(workKelvin);
    private readonly LastingGate sand =
        new((step, at) => step.Extremes(at).LeastTgOver(workKelvin) - LadderTerms.SandKelvin);
    private readonly LastingGate fullCure = new(LeastOverFullCure);
    private Slab? slab;
    private LastingGate firstGel = null!, opens = null!, closes = null!;

    public double PeakKelvin => gates.PeakKelvin;
    public double PeakSeconds => gates.PeakSeconds;
    public double WindowOpensSeconds => opens.OpenSeconds;
    public double WindowClosesSeconds => closes.OpenSeconds;

    /// <summary>Layers of resin once the run is over, each with its least conversion.</summary>
    public IEnumerable<(CureReaction Reaction, double LeastConversion)> End =>
        slab!.Layers.Where(l => l.IsResin).Select(l => (l.Layer.Material.Reaction!, Nodes(l).Min(slab.Conversion)));

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
        var (kelvin, farthest) = (air.Kelvin(step.FromSeconds + at * step.LengthSeconds), 0.0);
        foreach (var layer in step.Slab.PlacedLayers)
            for (var node = layer.First; layer.IsResin && node < layer.End; node++)
                farthest = Math.Max(farthest, Math.Abs(step.Kelvin(node, at) - kelvin));
        return farthest;
    }

    private static double LeastOverFullCure(SolvedStep step, double at)
    {
        var least = double.MaxValue;
        foreach (var layer in step.Slab.PlacedLayers)
            if (layer.Layer.Material.Reaction is { Glass: var glass })
                for (var node = layer.First; node < layer.End; node++)
                    least = Math.Min(
                        least,
                        step.Conversion(node, at) - LadderTerms.Conversion(LadderGate.FullCure, glass, step.Kelvin(node, at)));
        return least;
    }

    private static IEnumerable<int> Nodes(PlacedLayer layer) => Enumerable.Range(layer.First, layer.Nodes);
}
