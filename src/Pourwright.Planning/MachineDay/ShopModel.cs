using Google.OrTools.Sat;

namespace Pourwright.Planning.MachineDay;

/// <summary>A shop in the solver's words: an interval an operation, an optional one for each of several choices.</summary>
/// <remarks>
/// A stage of one place is NoOverlap, one of several is Cumulative; its places are told apart only afterwards. Times lie
/// between an operation's head and the start schedule's end less its tail, so that the start can always be given as a hint, and
/// it is given whole: a hint that leaves variables open is mostly lost.
/// </remarks>
internal sealed class ShopModel
{
    private readonly ShopCase shop;
    private readonly List<IntervalVar>[] busy;
    private readonly IntVar[][] starts;
    private readonly BoolVar?[][][] taken;
    private readonly IntVar makespan;

    public ShopModel(ShopCase shop, ShopSchedule start)
    {
        this.shop = shop;
        busy = [.. shop.Stages.Select(_ => new List<IntervalVar>())];
        makespan = Model.NewIntVar(start.LowerBoundMinutes, start.MakespanMinutes, "makespan");
        starts = [.. shop.Jobs.Select(j => new IntVar[j.Operations.Count])];
        taken = [.. shop.Jobs.Select(j => new BoolVar?[j.Operations.Count][])];
        var runs = start.Runs.ToLookup(r => r.Job);
        for (var job = 0; job < shop.Jobs.Count; job++)
            AddJob(job, [.. runs[job]], start.MakespanMinutes);
        for (var stage = 0; stage < busy.Length; stage++)
            AddStage(stage);
        AddTwins();
        Model.AddHint(makespan, start.MakespanMinutes);
        Model.Minimize(makespan);
    }

    public CpModel Model { get; } = new();

    /// <summary>The schedule that the solver found.</summary>
    public ShopSchedule Read(IList<long> values, int lowerBoundMinutes)
    {
        var runs = starts.SelectMany((operations, job) => operations.Select((start, operation) =>
        {
            var choice = Array.FindIndex(taken[job][operation], t => t is null || values[t.Index] == 1);
            var (stage, minutes) = shop.Jobs[job].Operations[operation].Choices[choice];
            var begin = (int)values[start.Index];
            return new ShopRun(job, operation, stage, 0, begin, begin + minutes);
        }));
        return new(Seat([.. runs]), lowerBoundMinutes);
    }

    private void AddJob(int job, ShopRun[] hints, int latest)
    {
        var (operations, head, tail) = (shop.Jobs[job].Operations, shop.Jobs[job].ReleaseMinutes, shop.Jobs[job].LeastMinutes);
        LinearExpr? end = null;
        for (var o = 0; o < operations.Count; o++)
        {
            var start = starts[job][o] = Model.NewIntVar(head, latest - tail, $"start {job}.{o}");
            Model.AddHint(start, hints[o].StartMinutes);
            if (end is not null)
                Model.Add(start >= end);
            (head, tail) = (head + operations[o].LeastMinutes, tail - operations[o].LeastMinutes);
            end = operations[o].Choices.Count == 1 ? AddOnly(job, o) : AddChoices(job, o, hints[o], head, latest - tail);
        }
        if (end is not null)
            Model.Add(makespan >= end);
    }

    private LinearExpr AddOnly(int job, int operation)
    {
        var (start, (stage, minutes)) = (starts[job][operation], shop.Jobs[job].Operations[operation].Choices[0]);
        taken[job][operation] = [null];
        busy[stage].Add(Model.NewFixedSizeIntervalVar(start, minutes, $"run {job}.{operation}"));
        return start + minutes;
    }

    private IntVar AddChoices(int job, int operation, ShopRun hint, int earliest, int latest)
    {
        var (start, choices) = (starts[job][operation], shop.Jobs[job].Operations[operation].Choices);
        var end = Model.NewIntVar(earliest, latest, $"end {job}.{operation}");
        Model.AddHint(end, hint.EndMinutes);
        var hinted = choices.Select((c, i) => (c, i)).First(x => x.c.Stage == hint.Stage && x.c.Minutes == hint.EndMinutes - hint.StartMinutes).i;
        var literals = choices.Select((choice, i) =>
        {
            var literal = Model.NewBoolVar($"at {choice.Stage} {job}.{operation}");
            Model.AddHint(literal, i == hinted);
            busy[choice.Stage].Add(Model.NewOptionalIntervalVar(start, choice.Minutes, end, literal, $"run {job}.{operation}"));
            return literal;
        }).ToArray();
        Model.AddExactlyOne(literals);
        taken[job][operation] = literals;
        return end;
    }

    private void AddStage(int stage)
    {
        if (shop.Stages[stage].Places == 1)
            Model.AddNoOverlap(busy[stage]);
        else if (busy[stage].Count > shop.Stages[stage].Places)
            Model.AddCumulative(shop.Stages[stage].Places).AddDemands(busy[stage], Enumerable.Repeat(1, busy[stage].Count));
    }

    // Of equal jobs the one released first goes first at every stage: times of a schedule, sorted operation by operation, are a
    // schedule again, as long as an operation takes the same wherever it is done.
    private void AddTwins()
    {
        var groups = Enumerable.Range(0, shop.Jobs.Count).Where(j => shop.Jobs[j].Operations.All(o => o.Choices.Count == 1))
            .GroupBy(j => string.Join(';', shop.Jobs[j].Operations.Select(o => $"{o.Choices[0].Stage}:{o.Choices[0].Minutes}")));
        foreach (var twins in groups)
            foreach (var (a, b) in Pairs([.. twins.OrderBy(j => shop.Jobs[j].ReleaseMinutes)]))
                for (var o = 0; o < starts[a].Length; o++)
                    Model.Add(starts[a][o] <= starts[b][o]);
    }

    private static IEnumerable<(int, int)> Pairs(int[] jobs) => jobs.Zip(jobs.Skip(1));

    // First come, first seated: as many as overlap anywhere are as many places as it takes.
    private ShopRun[] Seat(ShopRun[] runs)
    {
        var free = shop.Stages.Select(s => new int[s.Places]).ToArray();
        foreach (var i in Enumerable.Range(0, runs.Length).OrderBy(i => runs[i].StartMinutes).ThenBy(i => i))
        {
            var places = free[runs[i].Stage];
            var place = Array.FindIndex(places, f => f <= runs[i].StartMinutes);
            places[place] = runs[i].EndMinutes;
            runs[i] = runs[i] with { Place = place };
        }
        return runs;
    }
}
