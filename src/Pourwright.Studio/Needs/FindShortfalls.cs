using Pourwright.Planning.LotUse;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Date = Google.Type.Date;
using Duration = Google.Protobuf.WellKnownTypes.Duration;

namespace Pourwright.Studio.Needs;

/// <summary>When the stock bites, how much is missing then and in all, and until when to order.</summary>
public static class FindShortfalls
{
    /// <summary>From an order to the shelf unless told, in days: common practice, no source.</summary>
    public const int LeadDaysDefault = 14;

    private const int LeadDaysMost = 180;

    /// <summary>From an order to the shelf, in days.</summary>
    /// <exception cref="Refusal">FIELD_INVALID.</exception>
    public static int LeadDays(Duration? lead)
    {
        if (lead is null) return LeadDaysDefault;
        new FieldChecks().Require(lead.Seconds is >= 0 and <= LeadDaysMost * 86_400L && lead.Nanos == 0 && lead.Seconds % 86_400 == 0, "lead_duration",
            $"must be 0 to {LeadDaysMost} whole days.", $"{lead.Seconds} s").ThrowIfAny();
        return (int)(lead.Seconds / 86_400);
    }

    /// <summary>By the pour that bites, then by site, resin system and part.</summary>
    /// <param name="stocks">As planned.</param>
    /// <param name="leadDays">From an order to the shelf, in days.</param>
    /// <param name="zones">The clock of each site.</param>
    /// <param name="nowMs">Unix ms.</param>
    public static IReadOnlyList<Shortfall> Decide(
        IReadOnlyList<SiteStock> stocks, int leadDays, IReadOnlyDictionary<string, TimeZoneInfo> zones, long nowMs) =>
    [
        .. (from stock in stocks
            from part in Enum.GetValues<StockPart>()
            let missing = Enumerable.Range(0, stock.Classes.Count).Where(c => stock.MissingMg(c, part) > 0).ToArray()
            where missing.Length > 0
            orderby stock.Classes[missing[0]].PourMs, stock.Site, stock.System, part
            select Shortfall(stock, part, missing, leadDays, zones[stock.Site], nowMs)),
    ];

    private static Shortfall Shortfall(SiteStock stock, StockPart part, int[] missing, int leadDays, TimeZoneInfo zone, long nowMs)
    {
        var first = stock.Classes[missing[0]];
        var orderBy = Day(first.PourMs, zone).AddDays(-leadDays);
        return new()
        {
            Site = stock.Site,
            ResinSystem = stock.System,
            Part = part.ToProto(),
            CastingClass = first.Class,
            PourTime = Instants.ToTimestamp(first.PourMs),
            ClassMissingMassMg = stock.MissingMg(missing[0], part),
            ClassNeedMassMg = part == StockPart.A ? first.Need.AMassMg : first.Need.BMassMg,
            MissingMassMg = missing.Sum(c => stock.MissingMg(c, part)),
            CastingClasses = { missing.Select(c => stock.Classes[c].Class) },
            OrderDate = new Date { Year = orderBy.Year, Month = orderBy.Month, Day = orderBy.Day },
            Late = orderBy < Day(nowMs, zone),
        };
    }

    private static DateOnly Day(long ms, TimeZoneInfo zone) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).DateTime);
}
