namespace Pourwright.Benchmarks.Service;

/// <summary>What the same call costs as the records grow from a thousand mixes to a million, the waiting reminders from a hundred to a hundred thousand, and the clients from one to 64.</summary>
/// <remarks>All sizes run in one process and take turns, so a drift of the machine meets all of them; a figure compares the largest with the smallest.</remarks>
internal static class GrowthBenchmark
{
    private const int Smallest = 1000, LargestByDefault = 1_000_000, Rounds = 6, CallsARound = 300;

    /// <summary>A tree of a thousand times the rows is two levels deeper, and its pages are colder: our choice.</summary>
    private const double GrowthMost = 1.5;

    private static readonly int[] Clients = [1, 4, 16, 64];

    private static readonly (string Name, Func<GrownNode, Task> Call)[] Calls =
    [
        ("mix", node => node.RecordMixAsync()), ("read", node => node.ReadContainerAsync()), ("list_of_50", node => node.ListMixesAsync()),
    ];

    public static async Task<int> RunAsync(string[] options)
    {
        var largest = Option.Of(options, "--mixes", LargestByDefault);
        List<GrownNode> nodes = [];
        try
        {
            for (var mixes = Smallest; mixes <= largest; mixes *= 10) nodes.Add(await GrownNode.StartAsync(mixes));
            return Figure.Report([.. await OverMixesAsync(nodes), await OverClientsAsync(nodes[0]), await ReminderFigures.OverWaitingAsync(GrowthMost)]);
        }
        finally
        {
            foreach (var node in nodes) await node.DisposeAsync();
        }
    }

    private static async Task<Figure[]> OverMixesAsync(List<GrownNode> nodes)
    {
        List<Figure> figures = [];
        foreach (var (name, call) in Calls)
        {
            var ms = await TakingTurnsAsync(nodes, call);
            foreach (var (node, each) in nodes.Zip(ms)) Figure.Print($"{name} among {node.Mixes} mixes: p50 {each:0.000} ms");
            figures.Add(Figure.AtMost($"growth_{name}_p50_largest_over_smallest", ms[^1] / ms[0], GrowthMost));
        }
        return [.. figures];
    }

    /// <summary>The median of what each node takes, in ms; the first round warms up.</summary>
    private static async Task<double[]> TakingTurnsAsync(List<GrownNode> nodes, Func<GrownNode, Task> call)
    {
        var waits = nodes.Select(_ => new List<double>()).ToArray();
        for (var round = 0; round <= Rounds; round++)
            foreach (var (index, node) in nodes.Index())
            {
                var load = await Load.RepeatAsync(CallsARound, () => call(node));
                if (round > 0) waits[index].AddRange(load);
            }
        return [.. waits.Select(each => each.Order().ElementAt(each.Count / 2))];
    }

    private static async Task<Figure> OverClientsAsync(GrownNode node)
    {
        Dictionary<int, double> rates = [];
        foreach (var clients in Clients)
        {
            var load = await Load.MeasureAsync(clients, 3, node.RecordMixAsync);
            rates[clients] = load.PerSecond;
            Figure.Print($"mixes of {clients} clients: {load.PerSecond:0}/s, p50 {load.P50:0.00} ms, p99 {load.P99:0.0} ms");
        }
        return Figure.AtLeast("growth_mixes_a_second_of_64_over_1", rates[Clients[^1]] / rates[1], 2);
    }
}
