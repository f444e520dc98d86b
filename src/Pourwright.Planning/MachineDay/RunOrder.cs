namespace Pourwright.Planning.MachineDay;

/// <summary>What the run sheet says: which piece goes when, stage by stage.</summary>
/// <param name="Pieces">In the order in which they go through the planer; those that do not, by their first stage, among them.</param>
public sealed record RunOrder(IReadOnlyList<PieceRun> Pieces)
{
    /// <summary>A schedule of the second day as a run sheet.</summary>
    public static RunOrder Of(SecondDayShop day, ShopSchedule schedule) => new([.. schedule.Runs
        .GroupBy(r => r.Job)
        .Select(piece => new PieceRun(day.Pieces[piece.Key].Id, [.. piece.OrderBy(r => r.Operation).Select(r =>
            new StageRun(day.Steps[r.Job][r.Operation], r.Place, r.StartMinutes, r.EndMinutes))]))
        .OrderBy(piece => piece.PlanerMinutes).ThenBy(piece => piece.Stages[0].StartMinutes)]);

    /// <summary>When the last piece is done, in min from the start of the day.</summary>
    public int EndMinutes => Pieces.Select(p => p.Stages[^1].EndMinutes).DefaultIfEmpty(0).Max();
}

/// <summary>One piece through the day.</summary>
public sealed record PieceRun(string Piece, IReadOnlyList<StageRun> Stages)
{
    internal int PlanerMinutes => (Stages.FirstOrDefault(s => s.Stage == SecondDayStage.Planer) ?? Stages[0]).StartMinutes;
}

/// <summary>One piece at one stage.</summary>
/// <param name="Stage">Which.</param>
/// <param name="Place">Which of its places, from 0.</param>
/// <param name="StartMinutes">From the start of the day.</param>
/// <param name="EndMinutes">The place is free again.</param>
public sealed record StageRun(SecondDayStage Stage, int Place, int StartMinutes, int EndMinutes);
