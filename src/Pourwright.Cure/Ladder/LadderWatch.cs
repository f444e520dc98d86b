using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>Finds the rungs that <see cref="GateWatch"/> does not, while the solver runs.</summary>
internal sealed class LadderWatch(AmbientCourse air, double workKelvin) : IStepWatch
{
    private readonly GateWatch gates = new(workKelvin);
    /// <summary>Colder than any room that may be asked about, with any draw of its air.</summary>
    private const double ColdestKelvin = 233.15;

    private readonly LastingGate sand =
        new((step, at) => step.Extremes(at).LeastTgOver(workKelvin) - LadderTerms.SandKelvin);
    private double leastOfFullCure;
    private Slab? slab;
    private LastingGate firstGel = null!, opens = null!, closes = null!, fullCure = null!;

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
        var (start, middle, end) = (solved.Extremes(0), solved.Extremes(0.5), solved.Extremes(1));
        gates.Saw(solved, start, middle, end);
        sand.Saw(solved, Sand(start), Sand(middle), Sand(end));
        SeeFullCure(solved, end);
        // Cure does not run backwards: what has gelled once needs no look any more.
        if (double.IsInfinity(firstGel.OpenSeconds) && end.MostConversion >= GelPoint.DiepoxideDiamine)
            firstGel.Saw(solved);
        SeeWindow(solved);
    }

    private double Sand(ResinExtremes extremes) => extremes.LeastTgOver(workKelvin) - LadderTerms.SandKelvin;

    // Below what full cure asks in the coldest room there is nothing to look for: most of a run, and the dearest look of all.
    private void SeeFullCure(SolvedStep solved, ResinExtremes end)
    {
        if (end.LeastConversion >= leastOfFullCure)
            fullCure.Saw(solved);
    }

    // The window and the first gel are those of the last pour, and full cure begins anew with each.
    private void BeginPour(Slab poured)
    {
        slab = poured;
        leastOfFullCure = poured.Layers.Where(l => l.IsResin)
            .Min(l => LadderTerms.Conversion(LadderGate.FullCure, l.Layer.Material.Reaction!.Glass, ColdestKelvin));
        var (last, top) = (poured.Layers[^1], poured.Nodes - 1);
        firstGel = new((step, at) => Nodes(last).Max(node => step.Conversion(node, at)) - GelPoint.DiepoxideDiamine);
        closes = new((step, at) => step.Conversion(top, at) - LadderTerms.WindowClosesAtConversion);
        opens = new((step, at) => Opening(step, top, at));
        fullCure = new(LeastOverFullCure);
    }

    // What happens after the window has closed no longer opens or shuts it.
    private void SeeWindow(SolvedStep solved)
    {
        if (double.IsFinite(closes.OpenSeconds))
            return;
        opens.Saw(solved);
        closes.Saw(solved);
    }

    // Ungelled it is shut, however warm: how far it is from the air need not be asked.
    private double Opening(SolvedStep step, int top, double at)
    {
        var gel = step.Conversion(top, at) - GelPoint.DiepoxideDiamine;
        return gel < 0 ? gel : Math.Min(gel, (LadderTerms.WindowOpensWithinKelvin - FarthestFromAir(step, at)) / 100);
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
