namespace Pourwright.Cure.Readiness;

/// <summary>What stands for all that a piece may be: its likely run, and draws of equal weight that depart from it.</summary>
/// <param name="Likely">How the likely run departs from the parameters given.</param>
/// <param name="Draws">At least one.</param>
public sealed record PieceDraws(Departure Likely, IReadOnlyList<Departure> Draws)
{
    /// <summary>Draws of a spread about the parameters given: what is known before any check.</summary>
    /// <exception cref="CureRangeException">A spread is outside its range.</exception>
    public static PieceDraws Of(CureSpread spread)
    {
        PieceRange.Check(spread);
        return new(Departure.None, [.. SpreadDraws.Of(spread)]);
    }

    /// <summary>Fewer of them, evenly taken: for a search that asks often. All where there are no more.</summary>
    public PieceDraws Thinned(int count) => count >= Draws.Count ? this : this with
    {
        Draws = [.. Enumerable.Range(0, count).Select(i => Draws[(int)((i + 0.5) * Draws.Count / count)])],
    };
}
