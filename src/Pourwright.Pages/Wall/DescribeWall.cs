using Pourwright.V1;
using RungState = Pourwright.V1.PieceReadiness.Types.Rung.Types.State;

namespace Pourwright.Pages.Wall;

/// <summary>What the API says of a site, put as the wall shows it.</summary>
public static class DescribeWall
{
    /// <summary>Default of a site that does not say its own, K (ISO 8502-4 asks for 3 K; read in guides, the standard itself unread).</summary>
    private const double LeastMarginCelsius = 3;

    /// <summary>Gates that a person works by.</summary>
    private static readonly Gate[] Worked = [Gate.Demold, Gate.Handle, Gate.Sand];

    public static WallView Describe(
        Site site, IReadOnlyList<(V1.Bench Bench, BenchClimate Climate)> benches, IReadOnlyList<(Piece Piece, PieceReadiness Readiness)> pieces,
        IReadOnlyList<WallChange> changes, DateTimeOffset now)
    {
        var shown = pieces.Select(piece => (piece.Piece.Bench, Piece: Describe(piece.Piece, piece.Readiness))).ToList();
        return new(site.DisplayName, TimeZoneInfo.FindSystemTimeZoneById(site.TimeZone), now,
            [.. benches.Select(bench => new WallBench(bench.Bench.DisplayName, bench.Climate,
                    site.HasDewPointMarginCelsius ? site.DewPointMarginCelsius : LeastMarginCelsius,
                    [.. shown.Where(piece => piece.Bench == bench.Bench.Name).Select(piece => piece.Piece).OrderBy(Urgency).ThenBy(piece => piece.Safe ?? DateTimeOffset.MaxValue)
                        .ThenBy(piece => piece.Label.Length).ThenBy(piece => piece.Label, StringComparer.Ordinal)]))
                .OrderBy(bench => bench.Pieces.Count == 0)],
            changes);
    }

    private static WallPiece Describe(Piece piece, PieceReadiness readiness)
    {
        var rungs = Worked.Select(gate => readiness.Rungs.Single(rung => rung.Gate == gate)).ToList();
        var next = rungs.Find(rung => rung.State != RungState.Ready);
        var ready = rungs.TakeWhile(rung => rung.State == RungState.Ready).LastOrDefault();
        return new(piece.Name, piece.Label, piece.Maker, next?.Gate, next?.State ?? RungState.Ready, next?.Forecast?.SafeTime?.ToDateTimeOffset(),
            ready?.Gate, readiness.Forecast.Length > 0, readiness.Held ? readiness.HoldReason : "");
    }

    private static int Urgency(WallPiece piece) => piece switch
    {
        { HoldReason.Length: > 0 } => 0,
        { State: RungState.Contradicted } => 1,
        { State: RungState.CheckDue } => 2,
        { State: RungState.Curing } => 3,
        _ => 4,
    };
}
