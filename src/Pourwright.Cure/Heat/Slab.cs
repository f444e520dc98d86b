namespace Pourwright.Cure.Heat;

/// <summary>Layers from base to top, their nodes, and the temperature and conversion of each node.</summary>
/// <remarks>
/// Vertex-centred finite volumes: nodes stand on both faces of every layer, half a cell each, so face temperatures are unknowns
/// and not extrapolations. Where two layers touch, each keeps its own face node (two pours differ in conversion there), joined by
/// <see cref="ContactWPerM2K"/>. Arrays are longer than <see cref="Nodes"/> by a pad, so that four nodes can always be read at
/// once.
/// </remarks>
public sealed class Slab
{
    /// <summary>Conductance between two touching layers, in W/(m² K): 0.2 µm of resin, that is, none (our choice).</summary>
    public const double ContactWPerM2K = 1e6;

    private const int Pad = 8;

    /// <summary>Fewest cells of a layer.</summary>
    public const int LeastCells = 4;

    private Slab(IReadOnlyList<SlabLayer> layers)
    {
        PlacedLayers = [.. Placed(layers)];
        Nodes = Layers.Sum(l => l.Nodes);
        (HeightMetres, Capacity, Conductance) = (Padded(), Padded(), Padded());
        (ResinMetres, HeatPerConversion) = (Padded(), Padded());
        foreach (var layer in Layers)
            Discretise(layer);
        State = new NodeState(Nodes + Pad);
    }

    /// <summary>Layers with the nodes that belong to them, base first.</summary>
    public IReadOnlyList<PlacedLayer> Layers => PlacedLayers;

    /// <summary>Number of nodes.</summary>
    public int Nodes { get; }

    /// <summary>The node with as many below it as above, or one more above.</summary>
    internal int Middle => (Nodes - 1) / 2;

    /// <summary>Height of each node above the base, in m.</summary>
    public double[] HeightMetres { get; }

    /// <summary>Heat capacity of each node, in J/(m² K).</summary>
    public double[] Capacity { get; }

    /// <summary>Conductance from each node to the one above, in W/(m² K).</summary>
    internal double[] Conductance { get; }

    /// <summary>Metres of resin that each node stands for.</summary>
    public double[] ResinMetres { get; }

    /// <summary>Heat set free per unit conversion at each node, in J/m².</summary>
    public double[] HeatPerConversion { get; }

    // The same as an array: walking an interface allocates, and the solver walks three times a step.
    internal PlacedLayer[] PlacedLayers { get; }

    internal NodeState State { get; set; }

    /// <summary>A layer alone, or the first one on the bench.</summary>
    public static Slab Of(SlabLayer layer, double kelvin, double conversion = 0)
    {
        var slab = new Slab([layer]);
        slab.Fill(slab.Layers[^1], kelvin, conversion);
        return slab;
    }

    /// <summary>This slab with one more layer on top: what is below keeps its temperature and conversion.</summary>
    /// <remarks>The two touching face nodes start at the mean of their temperatures, weighted by heat capacity.</remarks>
    public Slab With(SlabLayer layer, double kelvin, double conversion = 0)
    {
        var slab = new Slab([.. Layers.Select(l => l.Layer), layer]);
        State.CopyTo(slab.State, Nodes);
        slab.Fill(slab.Layers[^1], kelvin, conversion);
        slab.Equalise(Nodes - 1, Nodes);
        return slab;
    }

    /// <summary>Temperature of a node now, in K.</summary>
    public double Kelvin(int node) => State.Kelvin[node];

    /// <summary>Conversion of a node now, without unit.</summary>
    public double Conversion(int node) => State.Conversion[node];

    private static IEnumerable<PlacedLayer> Placed(IReadOnlyList<SlabLayer> layers)
    {
        var (node, height) = (0, 0.0);
        foreach (var layer in layers)
        {
            yield return new(layer, node, height);
            node += layer.Cells + 1;
            height += layer.DepthMetres;
        }
    }

    private void Discretise(PlacedLayer placed)
    {
        var material = placed.Layer.Material;
        var cell = placed.Layer.DepthMetres / placed.Layer.Cells;
        for (var node = placed.First; node < placed.End; node++)
        {
            var metres = node == placed.First || node == placed.End - 1 ? cell / 2 : cell;
            HeightMetres[node] = placed.BaseMetres + (node - placed.First) * cell;
            Capacity[node] = metres * material.DensityKgPerM3 * material.SpecificHeatJPerKgK;
            Conductance[node] = node < placed.End - 1 ? material.ConductivityWPerMK / cell : ContactWPerM2K;
            ResinMetres[node] = material.Reaction is null ? 0 : metres;
            HeatPerConversion[node] = ResinMetres[node] * material.DensityKgPerM3 * material.HeatOfReactionJPerKg;
        }
        if (placed.End == Nodes)
            Conductance[Nodes - 1] = 0;
    }

    private void Fill(PlacedLayer placed, double kelvin, double conversion)
    {
        State.Kelvin.AsSpan(placed.First, placed.Nodes).Fill(kelvin);
        State.Conversion.AsSpan(placed.First, placed.Nodes).Fill(conversion);
    }

    private void Equalise(int below, int above)
    {
        var heat = Capacity[below] * State.Kelvin[below] + Capacity[above] * State.Kelvin[above];
        State.Kelvin[below] = State.Kelvin[above] = heat / (Capacity[below] + Capacity[above]);
    }

    private double[] Padded() => new double[Nodes + Pad];
}

/// <summary>A layer and the nodes that belong to it.</summary>
/// <param name="Layer">The layer.</param>
/// <param name="First">Its lowest node.</param>
/// <param name="BaseMetres">Height of its lower face above the base of the slab, in m.</param>
public sealed record PlacedLayer(SlabLayer Layer, int First, double BaseMetres)
{
    /// <summary>Number of nodes.</summary>
    public int Nodes => Layer.Cells + 1;

    /// <summary>One past its highest node.</summary>
    public int End => First + Nodes;

    /// <summary>Whether it cures.</summary>
    public bool IsResin => Layer.Material.Reaction is not null;
}

/// <summary>
/// One instant of the slab: temperature in K, conversion, heat flowing into each node in W/m², rate of conversion in 1/s
/// and its slopes in 1/(s K) and in 1/s per unit conversion.
/// </summary>
internal sealed class NodeState
{
    // Pads are read four at a time together with real nodes: any plain temperature keeps them finite.
    private const double PadKelvin = 300;

    public NodeState(int length)
    {
        double[] New() => new double[length];
        (Kelvin, Conversion, Flux) = (New(), New(), New());
        (Rate, RatePerKelvin, RatePerConversion) = (New(), New(), New());
        Array.Fill(Kelvin, PadKelvin);
    }

    public double[] Kelvin { get; }
    public double[] Conversion { get; }
    public double[] Flux { get; }
    public double[] Rate { get; }
    public double[] RatePerKelvin { get; }
    public double[] RatePerConversion { get; }

    public void CopyTo(NodeState other, int nodes)
    {
        Array.Copy(Kelvin, other.Kelvin, nodes);
        Array.Copy(Conversion, other.Conversion, nodes);
    }
}
