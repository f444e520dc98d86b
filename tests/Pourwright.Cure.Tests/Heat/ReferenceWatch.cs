using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;

namespace Pourwright.Cure.Tests.Heat;

/// <summary>Reads off a run what the reference lists: its rows and its events.</summary>
internal sealed class ReferenceWatch(double[][] rows) : IStepWatch
{
    private readonly Dictionary<string, double> events = [];
    private int row;
    private (double Kelvin, double Seconds) hottest, hottestTop;

    public double WorstKelvin { get; private set; }
    public double WorstConversion { get; private set; }

    public IReadOnlyDictionary<string, double> Events => events;

    /// <summary>Rows inside this span of hours are left out.</summary>
    public (double From, double To) Skipped { get; init; } = (-1, -1);

    public void Saw(SolvedStep solved)
    {
        for (; row < rows.Length && rows[row][0] * 3600 <= solved.ToSeconds + 1e-6; row++)
            if (rows[row][0] > 0 && (rows[row][0] < Skipped.From || rows[row][0] > Skipped.To))
                Compare(solved, rows[row], Math.Min(1, (rows[row][0] * 3600 - solved.FromSeconds) / solved.LengthSeconds));
        SeeConversions(solved);
        SeeGlass(solved);
        SeePeaks(solved);
        SeeEnd(solved);
    }

    private void Compare(SolvedStep solved, double[] expected, double at)
    {
        var resin = solved.Slab.Layers[^1];
        for (var quarter = 0; quarter <= 4; quarter++)
        {
            var node = resin.First + resin.Layer.Cells * quarter / 4;
            Note(solved.Kelvin(node, at) - 273.15 - expected[1 + quarter], solved.Conversion(node, at) - expected[6 + quarter]);
        }
        var shares = Enumerable.Range(resin.First, resin.Nodes)
            .Select(node => (node, share: solved.Slab.ResinMetres[node] / resin.Layer.DepthMetres)).ToArray();
        Note(
            shares.Sum(n => n.share * solved.Kelvin(n.node, at)) - 273.15 - expected[12],
            shares.Sum(n => n.share * solved.Conversion(n.node, at)) - expected[11]);
    }

    private void Note(double kelvin, double conversion) =>
        (WorstKelvin, WorstConversion) =
            (Math.Max(WorstKelvin, Math.Abs(kelvin)), Math.Max(WorstConversion, Math.Abs(conversion)));

    private void SeeConversions(SolvedStep solved)
    {
        First("gel_first_h", solved, e => e.MostConversion - GelPoint.DiepoxideDiamine);
        First("gel_last_h", solved, e => e.LeastConversion - GelPoint.DiepoxideDiamine);
        First("alpha_min_0.70_h", solved, e => e.LeastConversion - 0.70);
        First("alpha_min_0.80_h", solved, e => e.LeastConversion - 0.80);
        First("alpha_min_0.90_h", solved, e => e.LeastConversion - 0.90);
    }

    private void SeeGlass(SolvedStep solved)
    {
        First("Tg_ge_T_everywhere_h", solved, e => e.LeastTgMinusTKelvin);
        First("Tg_ge_T_plus10_everywhere_h", solved, e => e.LeastTgMinusTKelvin - 10);
        First("Tg_ge_T_plus15_everywhere_h", solved, e => e.LeastTgMinusTKelvin - 15);
    }

    // The last crossing upward wins: for conversions, which only rise, that is the first as well.
    private void First(string name, SolvedStep solved, Func<ResinExtremes, double> measure)
    {
        var (closed, open) = (0.0, 1.0);
        if (measure(solved.Extremes(open)) < 0 || measure(solved.Extremes(closed)) >= 0)
            return;
        while (open - closed > 1e-9)
            if (measure(solved.Extremes((closed + open) / 2)) < 0)
                closed = (closed + open) / 2;
            else
                open = (closed + open) / 2;
        events[name] = (solved.FromSeconds + open * solved.LengthSeconds) / 3600;
    }

    private void SeePeaks(SolvedStep solved)
    {
        for (var i = 0; i <= 50; i++)
        {
            var (at, seconds) = (i / 50.0, solved.FromSeconds + solved.LengthSeconds * i / 50);
            var (inside, top) = (Summit(solved, at), solved.Kelvin(solved.Slab.Nodes - 1, at));
            hottest = inside > hottest.Kelvin ? (inside, seconds) : hottest;
            hottestTop = top > hottestTop.Kelvin ? (top, seconds) : hottestTop;
        }
        (events["peak_T_C"], events["peak_t_h"]) = (hottest.Kelvin - 273.15, hottest.Seconds / 3600);
        (events["peak_top_surface_T_C"], events["peak_top_surface_t_h"]) =
            (hottestTop.Kelvin - 273.15, hottestTop.Seconds / 3600);
    }

    // Between nodes: the summit of the parabola through three of them.
    private static double Summit(SolvedStep solved, double at)
    {
        var (node, resin) = (solved.HottestNode(at), solved.Slab.Layers[^1]);
        var here = solved.Kelvin(node, at);
        if (node == resin.First || node == resin.End - 1)
            return here;
        var (below, above) = (solved.Kelvin(node - 1, at), solved.Kelvin(node + 1, at));
        var bend = 2 * here - below - above;
        return bend > 1e-9 ? here + (above - below) * (above - below) / (8 * bend) : here;
    }

    private void SeeEnd(SolvedStep solved)
    {
        var (end, glass) = (solved.Extremes(1), solved.Slab.Layers[^1].Layer.Material.Reaction!.Glass);
        events["alpha_min_end"] = end.LeastConversion;
        events["alpha_max_end"] = end.MostConversion;
        events["Tg_min_end_C"] = glass.Kelvin(end.LeastConversion) - 273.15;
    }
}
