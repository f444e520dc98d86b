using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Pages.Wall;

/// <summary>What hangs on the wall of a site.</summary>
/// <param name="Title">Of the site.</param>
/// <param name="Zone">Its clock.</param>
/// <param name="Now">When this was true.</param>
/// <param name="Benches">Those with pieces first, in the order of the API.</param>
/// <param name="Changes">What moved lately, the newest first.</param>
public sealed record WallView(string Title, TimeZoneInfo Zone, DateTimeOffset Now, IReadOnlyList<WallBench> Benches, IReadOnlyList<WallChange> Changes)
{
    /// <summary>What a person must look at now: contradicted first, then what has waited longest.</summary>
    public IEnumerable<WallPiece> ToCheck => Benches.SelectMany(bench => bench.Pieces).Where(piece => piece.NeedsPerson);
}

/// <summary>A bench with its air and its pieces, the most urgent first.</summary>
public sealed record WallBench(string Title, BenchClimate Climate, double LeastMarginCelsius, IReadOnlyList<WallPiece> Pieces)
{
    /// <summary>Surfaces near the dew point blush. False where nothing is known of it.</summary>
    public bool IsDamp => Climate.HasDewPointMarginCelsius && Climate.DewPointMarginCelsius < LeastMarginCelsius;
}

/// <summary>A piece as the wall shows it.</summary>
/// <param name="Next">The next gate that nobody has confirmed; null where all of them are.</param>
/// <param name="State">Of that gate.</param>
/// <param name="Safe">When it is safe; null where it never is, or nothing is forecast yet.</param>
/// <param name="ReadyFor">The last gate that forecast and touch agree on; null where there is none.</param>
/// <param name="IsForecast">There is a forecast; without one nothing is known.</param>
/// <param name="HoldReason">Why it is held; empty where it is not.</param>
public sealed record WallPiece(string Name, string Label, string Maker, Gate? Next, RungState State, DateTimeOffset? Safe, Gate? ReadyFor, bool IsForecast, string HoldReason)
{
    public bool NeedsPerson => HoldReason.Length > 0 || State is RungState.CheckDue or RungState.Contradicted;
}

/// <summary>Something that moved: sentence by sentence, and in the words of the API.</summary>
public sealed record WallChange(string Label, IReadOnlyList<Statement> Statements, string Reason, DateTimeOffset Seen);
