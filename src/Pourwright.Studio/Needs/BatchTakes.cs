using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>What one batch takes from one container, in mg.</summary>
public sealed record BatchTake(PlannedDraw Draw, long MassMg);

/// <summary>Which batch is weighed from which containers.</summary>
/// <remarks>
/// Batch after batch takes from the containers in the order of the plan, which keeps those of one lot together: at most one
/// batch of a part runs from a lot into the next.
/// </remarks>
public static class BatchTakes
{
    /// <summary>One list a batch, part A first; a batch that the stock does not cover takes less than it needs.</summary>
    public static IReadOnlyList<IReadOnlyList<BatchTake>> Of(IReadOnlyList<ResinBatch> batches, IReadOnlyList<ClassLots> lots)
    {
        var left = lots.SelectMany(each => each.Draws.Select(draw => (each.ResinSystem, draw)))
            .Select(each => new Remaining(each.ResinSystem, each.draw)).ToList();
        return [.. batches.Select(batch => (IReadOnlyList<BatchTake>)
        [
            .. Take(left, batch.System.Name, Part.A, batch.Parts.AMassMg),
            .. Take(left, batch.System.Name, Part.B, batch.Parts.BMassMg),
        ])];
    }

    private static List<BatchTake> Take(List<Remaining> left, string system, Part part, long massMg)
    {
        List<BatchTake> takes = [];
        foreach (var from in left.Where(each => each.System == system && each.Draw.Part == part && each.MassMg > 0))
        {
            var takenMg = Math.Min(massMg, from.MassMg);
            if (takenMg == 0) break;
            takes.Add(new(from.Draw, takenMg));
            (from.MassMg, massMg) = (from.MassMg - takenMg, massMg - takenMg);
        }
        return takes;
    }

    private sealed class Remaining(string system, PlannedDraw draw)
    {
        public string System => system;

        public PlannedDraw Draw => draw;

        public long MassMg { get; set; } = draw.MassMg;
    }
}
