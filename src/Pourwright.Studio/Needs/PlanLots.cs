using Pourwright.Planning.LotUse;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>Which class takes which lots, what could be moved, and what would expire.</summary>
public static class PlanLots
{
    /// <summary>How far ahead is planned unless told, in ms: twelve weeks (common practice, no source).</summary>
    public const long WindowMsDefault = 12 * 7 * DayMs;

    private const long DayMs = 86_400_000;
    private const long YearMs = 366 * DayMs;

    private static readonly long LastMs = DateTimeOffset.MaxValue.ToUnixMs();

    /// <summary>The window that is asked for.</summary>
    /// <exception cref="Refusal">FIELD_INVALID where it is empty or longer than a year.</exception>
    public static NeedWindow Window(
        Google.Protobuf.WellKnownTypes.Timestamp? start, Google.Protobuf.WellKnownTypes.Timestamp? end,
        Google.Protobuf.WellKnownTypes.Duration? margin, long nowMs)
    {
        var checks = new FieldChecks().OptionalTime("start_time", start).OptionalTime("end_time", end)
            .Require(margin is null || DescribeSite.IsWithin(margin, TimeSpan.Zero, TimeSpan.FromDays(90)), "expiry_margin", "must be 0 to 90 days.", $"{margin?.Seconds} s");
        checks.ThrowIfAny();
        var startMs = start.ToUnixMsOrNull() ?? nowMs;
        var endMs = end.ToUnixMsOrNull() ?? Math.Min(startMs + WindowMsDefault, LastMs);
        checks.Require(endMs > startMs && endMs - startMs <= YearMs, "end_time",
            $"must lie after the start, {Instants.Utc(startMs)}, by at most a year.", Instants.Utc(endMs)).ThrowIfAny();
        return new(startMs, endMs, margin is null ? 0 : (long)margin.ToTimeSpan().TotalMilliseconds);
    }

    /// <summary>The plan of all sites.</summary>
    /// <param name="stocks">As planned.</param>
    /// <param name="site">What is told of: one site, or all where it is empty. Containers may come from any.</param>
    /// <param name="window">What was planned.</param>
    /// <param name="cautions">Classes whose need could not be reckoned.</param>
    public static LotPlan Decide(IReadOnlyList<SiteStock> stocks, string site, NeedWindow window, IEnumerable<Caution> cautions) => new()
    {
        Classes = { Told(stocks, site).SelectMany(ClassLots).OrderBy(lots => lots.PourTime.ToUnixMs()).ThenBy(lots => lots.CastingClass, StringComparer.Ordinal) },
        Moves = { SuggestMoves.Of(stocks).Where(move => site.Length == 0 || move.ToSite == site) },
        Expiring = { Told(stocks, site).SelectMany(Expiring).OrderBy(left => left.ExpireTime.ToUnixMs()).ThenBy(left => left.Container, StringComparer.Ordinal) },
        Proved = Told(stocks, site).All(stock => stock.Plan.IsProved),
        StartTime = Instants.ToTimestamp(window.StartMs),
        EndTime = Instants.ToTimestamp(window.EndMs),
        Cautions = { cautions },
    };

    /// <summary>What each class takes of one stock.</summary>
    public static IEnumerable<ClassLots> ClassLots(SiteStock stock) => stock.Classes.Select((need, c) =>
    {
        var missing = new Parts(stock.MissingMg(c, StockPart.A), stock.MissingMg(c, StockPart.B));
        return new ClassLots
        {
            CastingClass = need.Class,
            Site = need.Site,
            PourTime = Instants.ToTimestamp(need.PourMs),
            ResinSystem = need.System,
            Need = need.Need.ToProto(),
            Draws = { Draws(stock, c) },
            Missing = missing.ToProto(),
            Cautions = { Cautions(stock, c, missing) },
        };
    });

    /// <summary>What a class takes, part A first, what expires first before the rest.</summary>
    public static IEnumerable<PlannedDraw> Draws(SiteStock stock, int @class) => stock.Plan.Draws.Where(draw => draw.Class == @class)
        .OrderBy(draw => stock.Plan.Case.Containers[draw.Container].Part).ThenBy(draw => stock.Plan.ExpireMs(draw.Container)).ThenBy(draw => draw.Container)
        .Select(draw => new PlannedDraw
        {
            Container = stock.Containers[draw.Container].Container.Name,
            Part = stock.Containers[draw.Container].Container.Part,
            Lots = { stock.Containers[draw.Container].Lots.Select(lot => lot.Name) },
            MassMg = draw.MassMg,
        });

    public static PartMasses ToProto(this Parts parts) => new() { AMassMg = parts.AMassMg, BMassMg = parts.BMassMg };

    public static Part ToProto(this StockPart part) => part == StockPart.A ? Part.A : Part.B;

    private static IEnumerable<SiteStock> Told(IReadOnlyList<SiteStock> stocks, string site) => stocks.Where(stock => site.Length == 0 || stock.Site == site);

    private static IEnumerable<Caution> Cautions(SiteStock stock, int @class, Parts missing)
    {
        foreach (var part in Enum.GetValues<StockPart>())
            if (stock.Plan.LotsOf(@class, part) is { Count: > 1 } lots) yield return SeveralLots(part, lots);
        if (missing.AMassMg > 0) yield return Short(stock, StockPart.A, missing.AMassMg);
        if (missing.BMassMg > 0) yield return Short(stock, StockPart.B, missing.BMassMg);
    }

    private static Caution SeveralLots(StockPart part, IReadOnlyList<string> lots)
    {
        var names = string.Join(", ", lots.Select(ResourceNames.IdOf));
        return Refusals.Cautions.Of(Reasons.SeveralLots,
            $"Part {part} of this class comes from {lots.Count} lots ({names}): no single one covers it. Keep each batch to one lot, and write down which piece is of which batch.",
            ("part", $"{part}"), ("lot_count", $"{lots.Count}"), ("lots", names));
    }

    private static Caution Short(SiteStock stock, StockPart part, long missingMg) => Refusals.Cautions.Of(Reasons.StockShort,
        $"{Amounts.Grams(missingMg)} of part {part} of {ResourceNames.IdOf(stock.System)} are missing at {ResourceNames.IdOf(stock.Site)} for this class. Order them, or move a container there.",
        ("part", $"{part}"), ("missing_mass_mg", $"{missingMg}"), ("resin_system", stock.System), ("site", stock.Site));

    private static IEnumerable<ExpiringStock> Expiring(SiteStock stock) => Enumerable.Range(0, stock.Containers.Count)
        .Where(k => stock.Plan.WasteMg(k) > 0)
        .Select(k => new ExpiringStock
        {
            Container = stock.Containers[k].Container.Name,
            Lots = { stock.Containers[k].Lots.Select(lot => lot.Name) },
            Site = stock.Site,
            MassMg = stock.Plan.WasteMg(k),
            ExpireTime = Instants.ToTimestamp(stock.Plan.ExpireMs(k)),
        });
}
