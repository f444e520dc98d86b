using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Advice;

/// <summary>Asks the engine what a change would do.</summary>
/// <remarks>
/// Pure. A change is refused where the hot draws (95 %) pass the limit of peak or ψ with it and stay lower without it. Warm a
/// room evenly, within the data sheet; no flame, no heat gun.
/// </remarks>
/// <param name="draws">What stands for all that a piece may be.</param>
/// <param name="limits">What no change may break.</param>
public sealed class WhatIf(PieceDraws? draws = null, PourLimits? limits = null)
{
    /// <summary>Warmest room that is tried, in °C (our choice: people, wood and data sheets rarely allow more).</summary>
    public const double WarmestCelsius = 35;

    private const double RampHours = 1;
    private const double TriedEveryKelvin = 2;
    private const double WithinKelvin = 0.25;

    // Less than this is the grid, not the change.
    private const double PeakRaisedByKelvin = 0.5;
    private const double MarginRaisedBy = 0.005;

    private readonly PieceDraws draws = draws ?? PieceDraws.Of(CureSpread.Default);
    private readonly PourLimits limits = limits ?? new();

    /// <summary>Before and after of one change.</summary>
    /// <exception cref="CureRangeException">The piece, or the piece with the change, is out of range.</exception>
    public Answer Ask(Question question, Change change) => change is SplitPour { Layers: var layers }
        ? AskSplit(question, change, layers)
        : Judge(change, Look(question), Look(Changed(question, change)));

    /// <summary>When 95 % of the draws have their peak behind them, in h from the first pour: warmth no longer feeds it.</summary>
    /// <exception cref="CureRangeException">The piece is out of range.</exception>
    public double PeakIsPastHours(PieceCase piece) => Look(new(piece, 0, LadderGate.Handle)).PeakIsPastHours;

    /// <summary>The smallest temperature, held from a time on, that makes the session safe.</summary>
    /// <remarks>
    /// Tried every 2 K from the air at that time, and at <see cref="WarmestCelsius"/> itself, then bisected to 0.25 K. The
    /// room goes back to its own course before the session: Tg − T counts at the temperature of the work, and a piece that
    /// hardened warm is harder cold.
    /// </remarks>
    /// <param name="question">The piece and its session.</param>
    /// <param name="fromHours">From when one may warm, in h from the first pour.</param>
    /// <param name="coolBeforeHours">
    /// How long before the session the warmth ends, in h (our choice: 40 mm follow a room within some five hours); 0 = it stays.
    /// </param>
    public Answer SmallestWarming(Question question, double fromHours, double coolBeforeHours = 6)
    {
        var before = Look(question);
        if (before.Outlook.IsSafe)
            return new Possible(null, before.Outlook, before.Outlook);
        HoldRoom Hold(double celsius) => new(celsius, fromHours, Until(question.SessionAtHours, fromHours, coolBeforeHours));
        Seen With(double celsius) => Look(Changed(question, Hold(celsius)));
        bool IsSafe(double celsius) => With(celsius).Outlook.IsSafe;
        Seen? warmest = null;
        for (var colder = PieceRun.AirCelsius(question.Piece, fromHours); colder < WarmestCelsius; colder += TriedEveryKelvin)
        {
            var warm = Math.Min(colder + TriedEveryKelvin, WarmestCelsius);
            if ((warmest = With(warm)).Value.Outlook.IsSafe)
            {
                var least = Least(IsSafe, colder, warm);
                return Judge(Hold(least), before, With(least));
            }
        }
        var after = (warmest ?? With(WarmestCelsius)).Outlook;
        return new Refused(Hold(WarmestCelsius), before.Outlook, after, Objection.NotByThen, null);
    }

    private Answer AskSplit(Question question, Change change, int layers)
    {
        CureRangeException.Check("Number of layers", layers, 1, LayerPlanner.MostLayers, "");
        var (before, depth) = (Look(question), question.Piece.Layers.Sum(l => l.DepthMm));
        if (LayerPlanner.Split(question.Piece, depth, layers, draws) is not Layers { Pours: var pours })
            return new Refused(change, before.Outlook, before.Outlook, Objection.NoWindow, null);
        var mix = question.Piece.Layers[0];
        PouredLayer[] split = [.. pours.Select(p => mix with { AtHours = p.AtHours, DepthMm = p.DepthMm })];
        var after = Look(question with { Piece = WithHorizon(question.Piece with { Layers = split }) });
        return Judge(change, before, after with { Outlook = after.Outlook with { Peak = Hottest(pours) } });
    }

    private Answer Judge(Change change, Seen before, Seen after)
    {
        var (was, becomes) = (before.Outlook.Peak, after.Outlook.Peak);
        var hotter = becomes.HighCelsius > Math.Max(limits.PeakCelsius, was.HighCelsius + PeakRaisedByKelvin);
        var closer = becomes.RunawayMargin > Math.Max(limits.RunawayMargin, was.RunawayMargin + MarginRaisedBy);
        if (!hotter && !closer)
            return new Possible(change, before.Outlook, after.Outlook);
        double? wait = change is HoldRoom ? before.PeakIsPastHours : null;
        return new Refused(change, before.Outlook, after.Outlook, Objection.TooHot, wait);
    }

    private static Question Changed(Question question, Change change) => change switch
    {
        HoldRoom hold => question with { Piece = question.Piece with { Ambient = Held(question.Piece, hold) } },
        MoveSession move => question with { SessionAtHours = question.SessionAtHours + 24 * move.Days },
        OtherResin other => question with
        {
            Piece = question.Piece with { Layers = [.. question.Piece.Layers.Select(l => l with { Resin = other.Resin })] },
        },
        _ => throw new ArgumentException($"{change} is not a change of a piece.", nameof(change)),
    };

    // Own course, an hour's ramp, the hold, an hour's ramp, own course again; from the pour on without a ramp.
    // Own course with its own doubt; a room that is held is not known exactly either: a doubt of 1, as for any heated room.
    private static AmbientPoint[] Held(PieceCase piece, HoldRoom hold)
    {
        var (ambient, from, until) = (piece.Ambient, hold.FromHours, hold.UntilHours);
        var warm = from <= 0 ? from : from + RampHours;
        CureRangeException.Check("End of the hold (after its start)", Math.Min(until, 1e6), warm + 0.1, 1e6, "h");
        AmbientPoint[] start = from <= 0
            ? [new(warm, hold.Celsius)]
            : [.. ambient.Where(p => p.AtHours < from), Own(piece, from), new(warm, hold.Celsius)];
        if (double.IsInfinity(until))
            return start;
        var own = until + RampHours;
        return
        [
            .. start, new(until, hold.Celsius), Own(piece, own),
            .. ambient.Where(p => p.AtHours > own),
        ];
    }

    private static AmbientPoint Own(PieceCase piece, double atHours) =>
        new(atHours, PieceRun.AirCelsius(piece, atHours), PieceRun.AirDoubt(piece, atHours));

    private static double Until(double sessionAtHours, double fromHours, double coolBeforeHours) =>
        coolBeforeHours > 0 && sessionAtHours - coolBeforeHours > fromHours + 2 * RampHours
            ? sessionAtHours - coolBeforeHours
            : double.PositiveInfinity;

    // Not safe at low, safe at high.
    private static double Least(Func<double, bool> isSafe, double low, double high)
    {
        while (high - low > WithinKelvin)
            (low, high) = isSafe((low + high) / 2) ? (low, (low + high) / 2) : ((low + high) / 2, high);
        return high;
    }

    private Seen Look(Question question)
    {
        var piece = WithHorizon(question.Piece);
        PieceRange.Check(piece);
        var runs = LadderRun.Draws(piece, draws);
        var ladder = LadderForecaster.Of(piece, draws, LadderRun.Likely(piece, draws.Likely), runs, new());
        var ready = runs.Count(d => d.Gates[question.Gate].Hours <= question.SessionAtHours);
        return new(
            new(question.SessionAtHours, ladder[question.Gate], (double)ready / runs.Length, ladder.Peak),
            SpreadDraws.Quantile([.. runs.Select(d => d.PeakHours).Order()], 0.95));
    }

    private static PieceCase WithHorizon(PieceCase piece) =>
        piece with { HorizonHours = Math.Clamp(piece.Layers[^1].AtHours + 168, piece.HorizonHours, 2000) };

    private static PeakForecast Hottest(IReadOnlyList<PlannedPour> pours) =>
        pours.MaxBy(p => p.Peak.HighCelsius)!.Peak with { RunawayMargin = pours.Max(p => p.Peak.RunawayMargin) };

    private readonly record struct Seen(Outlook Outlook, double PeakIsPastHours);
}
