using Pourwright.Studio.Offerings;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Moulds;

/// <summary>How many moulds of a site are left for a class.</summary>
public static class AskFreeMoulds
{
    /// <param name="castingClass">For whom.</param>
    /// <param name="offering">What its pieces are.</param>
    /// <param name="moulds">Of the site, by id.</param>
    /// <param name="own">What the class keeps already.</param>
    /// <param name="others">What other classes hold of these moulds.</param>
    /// <param name="span">From when to when, Unix ms.</param>
    public static FreeMoulds Decide(
        ClassRecord castingClass, OfferingRecord offering, IReadOnlyList<MouldRecord> moulds, IReadOnlyList<MouldHold> own,
        IReadOnlyList<MouldHold> others, (long StartMs, long EndMs) span)
    {
        var stocks = moulds.Select(mould => Stock(
            mould, mould.Fits(offering), MouldUse.Most([.. others.Where(hold => hold.Mould == mould.Name)], span.StartMs, span.EndMs),
            own.Where(hold => hold.Mould == mould.Name).Sum(hold => hold.Count))).ToList();
        var free = stocks.Where(stock => stock.Fits).Sum(stock => stock.FreeCount);
        return new()
        {
            Stocks = { stocks },
            WantedCount = castingClass.Pieces,
            FreeCount = free,
            StartTime = Instants.ToTimestamp(span.StartMs),
            EndTime = Instants.ToTimestamp(span.EndMs),
            Cautions = { free < castingClass.Pieces ? [MouldUse.TooFew(castingClass, free)] : [] },
        };
    }

    private static FreeMoulds.Types.Stock Stock(MouldRecord mould, bool fits, int held, int booked) => new()
    {
        Mould = mould.Name,
        DisplayName = mould.DisplayName,
        Fits = fits,
        MouldCount = mould.Count,
        HeldCount = held,
        FreeCount = Math.Max(0, mould.Count - held),
        BookedCount = booked,
    };
}
