using System.Runtime.Intrinsics;
using Pourwright.Cure.Kinetics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace Pourwright.Cure.Heat;

/// <summary>One step of Rodas3 over all nodes.</summary>
/// <remarks>
/// With G = 1/(γh), γ = ½, stage i solves (G − J) K_i = f(y + Σ a_ij K_j) + Σ c_ij K_j/h + γ_i h ∂f/∂t; the new state is
/// y + 2 K1 + K3 + K4 and K4 is the estimate of the error. Coefficients: [Sandu1997], in the form that needs no product with J.
/// The conversion of a node depends on its own temperature alone: K_α = (F_α + r_T K_T)/(G − r_α) is put into the heat equation
/// by hand, which leaves one symmetric tridiagonal system a stage.
/// </remarks>
public sealed partial class CureSolver
{
    // A temperature counts like a conversion when 30 K count like 1 (our choice).
    private const double KelvinPerConversion = 30;

    // n (n − 1)/2 of its square is what a straight line misses of (1 − α)^n: 0.1 % at n = 3 (our choice).
    private const double ShareOfAStraightLine = 0.02;

    private Slab slab = null!;
    private Surroundings around = null!;
    private SolvedStep step = null!;
    private NodeState before = null!, after = null!, stage = null!;
    private double[] upward = [], sink = [], load = [], conversionLoad = [];
    private double[] diagonal = [], inversePivot = [], ratio = [], inverseGap = [], heatGap = [];
    private double[] k1T = [], k2T = [], k3T = [], k4T = [], k1A = [], k2A = [], k3A = [], k4A = [];

    internal void Prepare(Slab piece, Surroundings surroundings)
    {
        (slab, around) = (piece, surroundings);
        var length = slab.State.Kelvin.Length;
        if (diagonal.Length != length)
            Allocate(length);
        slab.State.CopyTo(before, slab.Nodes);
        step = new SolvedStep(slab, before, after);
        for (var i = 0; i < length; i++)
            sink[i] = slab.ResinMetres[i] * around.SideWPerM3K;
    }

    private void Allocate(int length)
    {
        (before, after, stage) = (new(length), new(length), new(length));
        double[] New() => new double[length + Lane.Width];
        (upward, sink) = (New(), New());
        (load, conversionLoad, inverseGap, heatGap) = (New(), New(), New(), New());
        (diagonal, inversePivot, ratio) = (new double[length], New(), New());
        (k1T, k2T, k3T, k4T) = (New(), New(), New(), New());
        (k1A, k2A, k3A, k4A) = (New(), New(), New(), New());
    }

    /// <summary>
    /// Tries a step from <c>before</c> to <c>after</c>; its error in units of the tolerance, infinite when it cannot be taken.
    /// </summary>
    private double Attempt(double now, double length, AmbientLine air)
    {
        if (!Factorise(2 / length))
            return double.PositiveInfinity;
        var perLength = 1 / length;
        var later = air.Kelvin(now + length);

        LoadFirst(0, length / 2 * air.KelvinPerSecond);
        SolveStage(k1T, k1A);
        LoadFirst(4 * perLength, 1.5 * length * air.KelvinPerSecond);
        SolveStage(k2T, k2A);

        Combine(stage, before, 2, k1T, k1A);
        Evaluate(stage, later);
        LoadLater(perLength, 0);
        SolveStage(k3T, k3A);

        Combine(stage, stage, 1, k3T, k3A);
        Linearise(stage, later);
        LoadLater(perLength, -8.0 / 3 * perLength);
        SolveStage(k4T, k4A);

        return Finish();
    }

    // What the first stages multiply by zero must be finite, also after an attempt that was not.
    private void ForgetStages()
    {
        Array.Clear(k1T);
        Array.Clear(k1A);
        Array.Clear(k3T);
        Array.Clear(k3A);
    }

    /// <summary>Prepares G − J: false when it is not positive, which a shorter step mends.</summary>
    private bool Factorise(double g)
    {
        var (nodes, perKelvin, perConversion) = (slab.Nodes, before.RatePerKelvin, before.RatePerConversion);
        var (heat, capacity, sink, diagonal) = (slab.HeatPerConversion, slab.Capacity, this.sink, this.diagonal);
        var (inverseGap, heatGap) = (this.inverseGap, this.heatGap);
        var gap = Vector256.Create(g);
        var least = gap;
        for (var i = 0; i < nodes; i += Lane.Width)
        {
            var conversionGap = gap - Lane.Of(perConversion, i);
            least = Vector256.Min(least, conversionGap);
            var inverse = Lanes.One / conversionGap;
            var heatInverse = Lane.Of(heat, i) * inverse;
            Lane.Put(inverseGap, i, inverse);
            Lane.Put(heatGap, i, heatInverse * Lane.Of(perConversion, i));
            Lane.Put(diagonal, i, gap * (Lane.Of(capacity, i) - heatInverse * Lane.Of(perKelvin, i)) + Lane.Of(sink, i));
        }
        return Vector256.GreaterThanAll(least, gap * 0.25) && FactoriseTridiagonal();
    }

    // Nodes are eliminated from both faces towards the middle: two chains of half the length, which a processor works off side
    // by side. ratio[i] is the share of node i that its neighbour nearer the middle takes over.
    private bool FactoriseTridiagonal()
    {
        var (conductance, middle, high) = (slab.Conductance, slab.Middle, slab.Nodes - 1);
        diagonal[0] += around.BaseWPerM2K;
        diagonal[high] += around.TopWPerM2K;
        var (below, above, behind, positive) = (0.0, 0.0, 0.0, true);
        for (; high - middle > middle; high--)
            positive &= (above = Eliminated(high, above, conductance[high], conductance[high - 1])) > 0;
        for (var low = 0; low < middle; low++, high--)
        {
            positive &= (below = Eliminated(low, below, behind, conductance[low])) > 0;
            positive &= (above = Eliminated(high, above, conductance[high], conductance[high - 1])) > 0;
            behind = conductance[low];
        }
        var pivot = diagonal[middle] + behind * (1 - below) + conductance[middle] * (1 - above);
        inversePivot[middle] = 1 / pivot;
        return positive & pivot > 0;
    }

    private double Eliminated(int node, double share, double behind, double ahead)
    {
        var pivot = Math.FusedMultiplyAdd(-behind, share, diagonal[node] + behind + ahead);
        inversePivot[node] = 1 / pivot;
        return ratio[node] = ahead / pivot;
    }

    /// <summary>Right-hand sides of the stages that share the derivative at the start of the step.</summary>
    private void LoadFirst(double k1Share, double airShiftKelvin)
    {
        var (nodes, capacity, flux, rate) = (slab.Nodes, slab.Capacity, before.Flux, before.Rate);
        var (kT, kA, sink, load, conversionLoad, heatGap) = (k1T, k1A, this.sink, this.load, this.conversionLoad, this.heatGap);
        var share = Vector256.Create(k1Share);
        for (var i = 0; i < nodes; i += Lane.Width)
        {
            var stored = Lane.Of(capacity, i) * share * Lane.Of(kT, i);
            var heat = Lane.Of(flux, i) + stored + Lane.Of(sink, i) * airShiftKelvin;
            var conversion = Lane.Of(rate, i) + share * Lane.Of(kA, i);
            Lane.Put(load, i, heat + Lane.Of(heatGap, i) * conversion);
            Lane.Put(conversionLoad, i, conversion);
        }
        load[0] += around.BaseWPerM2K * airShiftKelvin;
        load[slab.Nodes - 1] += around.TopWPerM2K * airShiftKelvin;
    }

    /// <summary>Right-hand sides of the later stages: derivative at the stage, K1 − K2 and a share of K3.</summary>
    private void LoadLater(double share, double k3Share)
    {
        var (nodes, capacity, flux, rate) = (slab.Nodes, slab.Capacity, stage.Flux, stage.Rate);
        var (k1T, k2T, k3T, k1A, k2A, k3A) = (this.k1T, this.k2T, this.k3T, this.k1A, this.k2A, this.k3A);
        var (load, conversionLoad, heatGap) = (this.load, this.conversionLoad, this.heatGap);
        for (var i = 0; i < nodes; i += Lane.Width)
        {
            var kelvin = (Lane.Of(k1T, i) - Lane.Of(k2T, i)) * share + Lane.Of(k3T, i) * k3Share;
            var conversion = Lane.Of(rate, i) + (Lane.Of(k1A, i) - Lane.Of(k2A, i)) * share + Lane.Of(k3A, i) * k3Share;
            Lane.Put(load, i, Lane.Of(flux, i) + Lane.Of(capacity, i) * kelvin + Lane.Of(heatGap, i) * conversion);
            Lane.Put(conversionLoad, i, conversion);
        }
    }

    private void SolveStage(double[] kT, double[] kA)
    {
        SolveTridiagonal(kT);
        var (nodes, load, perKelvin, inverse) = (slab.Nodes, conversionLoad, before.RatePerKelvin, inverseGap);
        for (var i = 0; i < nodes; i += Lane.Width)
            Lane.Put(kA, i, (Lane.Of(load, i) + Lane.Of(perKelvin, i) * Lane.Of(kT, i)) * Lane.Of(inverse, i));
    }

    // The algorithm of Thomas from both faces, with the pivots of FactoriseTridiagonal.
    private void SolveTridiagonal(double[] solution)
    {
        var (nodes, middle, high) = (slab.Nodes, slab.Middle, slab.Nodes - 1);
        ReadOnlySpan<double> right = load.AsSpan(0, nodes), inverse = inversePivot.AsSpan(0, nodes), share = ratio.AsSpan(0, nodes);
        var result = solution.AsSpan(0, nodes);
        var (below, above, belowShare, aboveShare) = (0.0, 0.0, 0.0, 0.0);
        for (; high - middle > middle; high--)
        {
            above = Math.FusedMultiplyAdd(aboveShare, above, right[high]);
            aboveShare = share[high];
            result[high] = above * inverse[high];
        }
        for (var low = 0; low < middle; low++, high--)
        {
            below = Math.FusedMultiplyAdd(belowShare, below, right[low]);
            above = Math.FusedMultiplyAdd(aboveShare, above, right[high]);
            (belowShare, aboveShare) = (share[low], share[high]);
            result[low] = below * inverse[low];
            result[high] = above * inverse[high];
        }
        below = above = (right[middle] + belowShare * below + aboveShare * above) * inverse[middle];
        result[middle] = below;
        high = middle + 1;
        for (var low = middle - 1; low >= 0; low--, high++)
        {
            result[low] = below = Math.FusedMultiplyAdd(share[low], below, result[low]);
            result[high] = above = Math.FusedMultiplyAdd(share[high], above, result[high]);
        }
        if (high < nodes)
            result[high] += share[high] * above;
    }

    private void Combine(NodeState into, NodeState from, double share, double[] kT, double[] kA)
    {
        var (nodes, intoKelvin, intoConversion) = (slab.Nodes, into.Kelvin, into.Conversion);
        var (kelvin, conversion) = (from.Kelvin, from.Conversion);
        for (var i = 0; i < nodes; i += Lane.Width)
        {
            Lane.Put(intoKelvin, i, Lane.Of(kelvin, i) + Lane.Of(kT, i) * share);
            Lane.Put(intoConversion, i, Lane.Of(conversion, i) + Lane.Of(kA, i) * share);
        }
    }

    /// <summary>Writes the new state; cure does not run backwards, so neither does a rounding of it.</summary>
    private double Finish()
    {
        var (nodes, kT, kA, beforeConversion) = (slab.Nodes, k4T, k4A, before.Conversion);
        var (stageKelvin, stageConversion) = (stage.Kelvin, stage.Conversion);
        var (afterKelvin, afterConversion) = (after.Kelvin, after.Conversion);
        var greatest = Lanes.Zero;
        for (var i = 0; i < nodes; i += Lane.Width)
        {
            var (kelvin, conversion) = (Lane.Of(kT, i), Lane.Of(kA, i));
            var reached = Vector256.Max(Lane.Of(stageConversion, i) + conversion, Lane.Of(beforeConversion, i));
            Lane.Put(afterKelvin, i, Lane.Of(stageKelvin, i) + kelvin);
            Lane.Put(afterConversion, i, Vector256.Min(reached, Lanes.One));
            greatest = Vector256.Max(greatest, Vector256.Max(
                Vector256.Abs(kelvin) * (1 / KelvinPerConversion), Vector256.Abs(conversion)));
        }
        var error = Lane.Most(greatest) / tolerance;
        if (double.IsFinite(error))
            return error;
        ForgetStages();
        return double.PositiveInfinity;
    }

    /// <summary>Heat flowing into each node and rate of conversion of a state.</summary>
    internal void Evaluate(NodeState state, double airKelvin)
    {
        foreach (var layer in slab.PlacedLayers)
            if (layer.Layer.Material.Reaction is { } reaction)
                for (var i = layer.First; i < layer.End; i += Lane.Width)
                    Lane.Put(state.Rate, i, reaction.Rate(Lane.Of(state.Conversion, i), Lane.Of(state.Kelvin, i)));
            else
                state.Rate.AsSpan(layer.First, layer.Nodes).Clear();
        state.Rate.AsSpan(slab.Nodes).Clear();
        Balance(state, airKelvin);
    }

    /// <summary>As <see cref="Evaluate"/>, with the slopes of the rate that the next step needs.</summary>
    private void Linearise(NodeState state, double airKelvin)
    {
        foreach (var layer in slab.PlacedLayers)
            if (layer.Layer.Material.Reaction is { } reaction)
                Linearise(state, layer, reaction);
            else
                ClearRates(state, layer.First, layer.Nodes);
        ClearRates(state, slab.Nodes, state.Rate.Length - slab.Nodes);
        Balance(state, airKelvin);
    }

    private static void ClearRates(NodeState state, int first, int count)
    {
        state.Rate.AsSpan(first, count).Clear();
        state.RatePerKelvin.AsSpan(first, count).Clear();
        state.RatePerConversion.AsSpan(first, count).Clear();
    }

    private static void Linearise(NodeState state, PlacedLayer layer, CureReaction reaction)
    {
        for (var i = layer.First; i < layer.End; i += Lane.Width)
        {
            var (rate, perKelvin, perConversion) = reaction.RateAndSlopes(Lane.Of(state.Conversion, i), Lane.Of(state.Kelvin, i));
            Lane.Put(state.Rate, i, rate);
            Lane.Put(state.RatePerKelvin, i, perKelvin);
            Lane.Put(state.RatePerConversion, i, perConversion);
        }
    }

    /// <summary>
    /// Rates and slopes of the new state, from those of the last stage, which lies no farther from it than the error allowed;
    /// false where that is too far.
    /// </summary>
    /// <remarks>
    /// Along the slopes the rate is right to the square of that error, so a step of order 3 costs two evaluations and not three.
    /// α^m and (1 − α)^n bend without bound at the ends: a straight line will do while α moves by a small share of its distance
    /// from either.
    /// </remarks>
    private bool TryCarryRates(double airKelvin)
    {
        var near = true;
        for (var i = 0; i < slab.Nodes; i += Lane.Width)
        {
            var (perKelvin, perConversion) = (Lane.Of(stage.RatePerKelvin, i), Lane.Of(stage.RatePerConversion, i));
            var conversion = Lane.Of(after.Conversion, i);
            var moved = conversion - Lane.Of(stage.Conversion, i);
            var rate = Lane.Of(stage.Rate, i)
                + perKelvin * (Lane.Of(after.Kelvin, i) - Lane.Of(stage.Kelvin, i)) + perConversion * moved;
            near &= Vector256.LessThanOrEqualAll(
                Vector256.Abs(moved), Vector256.Min(conversion, Lanes.One - conversion) * ShareOfAStraightLine);
            Lane.Put(after.Rate, i, Vector256.Max(rate, Lanes.Zero));
            Lane.Put(after.RatePerKelvin, i, perKelvin);
            Lane.Put(after.RatePerConversion, i, perConversion);
        }
        if (near)
            Balance(after, airKelvin);
        return near;
    }

    // upward[i] is the heat that enters node i from below, in W/m².
    private void Balance(NodeState state, double airKelvin)
    {
        var (nodes, kelvin, flux, rate) = (slab.Nodes, state.Kelvin, state.Flux, state.Rate);
        var (upward, conductance) = (this.upward, slab.Conductance);
        for (var i = 0; i < nodes; i += Lane.Width)
            Lane.Put(upward, i + 1, Lane.Of(conductance, i) * (Lane.Of(kelvin, i) - Lane.Of(kelvin, i + 1)));
        upward[0] = around.BaseWPerM2K * (airKelvin - kelvin[0]);
        upward[slab.Nodes] = around.TopWPerM2K * (kelvin[slab.Nodes - 1] - airKelvin);
        var air = Vector256.Create(airKelvin);
        var (heat, sink) = (slab.HeatPerConversion, this.sink);
        for (var i = 0; i < nodes; i += Lane.Width)
            Lane.Put(flux, i,
                Lane.Of(upward, i) - Lane.Of(upward, i + 1)
                + Lane.Of(heat, i) * Lane.Of(rate, i)
                + Lane.Of(sink, i) * (air - Lane.Of(kelvin, i)));
    }
}
