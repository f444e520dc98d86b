using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Learning;

/// <summary>How often the truth lay inside 5 to 95 %, and no later than 95 %.</summary>
internal readonly record struct Coverage(int Pieces, int Inside, int NotLate)
{
    public double InsideShare => (double)Inside / Pieces;
    public double NotLateShare => (double)NotLate / Pieces;

    public static Coverage operator +(Coverage a, Coverage b) => new(a.Pieces + b.Pieces, a.Inside + b.Inside, a.NotLate + b.NotLate);

    /// <summary>A gate that was not reached counts as reached at the end of time.</summary>
    public static Coverage Of(GateTimes gate, double truthHours)
    {
        var notLate = truthHours <= (gate.SafeHours ?? double.PositiveInfinity);
        var notEarly = truthHours >= (gate.EarliestHours ?? double.PositiveInfinity);
        return new(1, notLate && notEarly ? 1 : 0, notLate ? 1 : 0);
    }
}

/// <summary>What one studio said of its pieces: before anyone looked at each, and after; and how wide it was.</summary>
internal readonly record struct StudioOutcome(
    Coverage Gel, Coverage DemoldBefore, Coverage Demold, Coverage Handle, double WidthBefore, double Width)
{
    public static StudioOutcome operator +(StudioOutcome a, StudioOutcome b) => new(
        a.Gel + b.Gel, a.DemoldBefore + b.DemoldBefore, a.Demold + b.Demold, a.Handle + b.Handle,
        a.WidthBefore + b.WidthBefore, a.Width + b.Width);
}

/// <summary>After how many of its pieces a slow lot is noted, and a good one is, wrongly; null for never.</summary>
internal readonly record struct LotOutcome(int? SlowAfter, int? GoodAfter);

/// <summary>Forecasts of invented studios against their known truth.</summary>
internal static class LearningStudy
{
    private static readonly (string Lot, string Site)[] Plan = [("A", "north"), ("A", "south"), ("B", "north"), ("B", "south")];

    public static StudioOutcome Studio(int seed, int pieces, int draws)
    {
        var studio = new SyntheticStudio(seed, draws);
        return Plan.Take(pieces).Select((at, i) => Piece(studio, studio.Pour($"{i}", at.Lot, at.Site))).Aggregate((a, b) => a + b);
    }

    /// <summary>
    /// A lot 25 % slow and one as it should be, against the mean of three others of which the studio has poured four pieces each,
    /// on two sites: after how many pieces each is noted, null for never.
    /// </summary>
    public static LotOutcome Lot(int seed, int pieces, int draws)
    {
        var before = new SyntheticStudio(seed, draws);
        foreach (var piece in Earlier(before))
            Learn(before, piece);
        return new(
            Watch(seed, before.Belief, -Math.Log(1.25), pieces, LotVerdict.Slow),
            Watch(seed, before.Belief, 0, pieces, LotVerdict.Slow, LotVerdict.Quick));
    }

    // The same studio once more, since a truth drawn is not drawn again; what it learned so far it is told.
    private static int? Watch(int seed, ResinBelief learned, double rateLn, int pieces, params LotVerdict[] verdicts)
    {
        var studio = new SyntheticStudio(seed, learned.Prior.Draws);
        _ = Earlier(studio).Count();
        (studio.Belief, var watched) = (learned, "watched");
        studio.Fix(watched, rateLn, "0", "1", "2");
        for (var i = 1; i <= pieces; i++)
        {
            Learn(studio, studio.Pour($"watched {i}", watched, Site(i)));
            if (verdicts.Contains(studio.Belief.Lot(watched)!.Verdict))
                return i;
        }
        return null;
    }

    private static IEnumerable<SyntheticPiece> Earlier(SyntheticStudio studio) =>
        Enumerable.Range(0, 12).Select(i => studio.Pour($"{i}", $"{i / 4}", Site(i)));

    private static string Site(int number) => number % 2 == 0 ? "north" : "south";

    private static void Learn(SyntheticStudio studio, SyntheticPiece piece) =>
        studio.Belief = studio.Belief.Given(piece.Seen).Belief.Forget(piece.Unseen.Pour);

    private static StudioOutcome Piece(SyntheticStudio studio, SyntheticPiece piece)
    {
        var (before, after) = (studio.Belief.Given(piece.Unseen).Forecast, studio.Belief.Given(piece.Seen));
        studio.Belief = after.Belief.Forget(piece.Unseen.Pour);
        return new(
            Coverage.Of(after.Forecast.Gel, piece.Truth.GelHours),
            Coverage.Of(before.Demold, piece.Truth.DemoldHours),
            Coverage.Of(after.Forecast.Demold, piece.Truth.DemoldHours),
            Coverage.Of(after.Forecast.Handle, piece.Truth.HandleHours),
            Width(before.Demold), Width(after.Forecast.Demold));
    }

    private static double Width(GateTimes gate) => gate is { EarliestHours: { } from, SafeHours: { } to } ? Math.Log(to / from) : 0;
}
