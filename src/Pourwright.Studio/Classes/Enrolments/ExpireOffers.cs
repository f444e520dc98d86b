using Pourwright.Studio.Messaging;
using Pourwright.Studio.Storage;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>Offers that nobody answered in time end, and their seats go to the next who wait.</summary>
public sealed class ExpireOffers(StudioReads reads, StudioWriter writer, TimeProvider clock, ClassOptions options) : ISweep
{
    public async Task RunAsync(CancellationToken ct)
    {
        if (reads.Read(session => StudentStore.ExpiredOffers(session, clock.GetUtcNow().ToUnixMs())).Count > 0)
            await writer.WriteAsync(Expire, ct);
    }

    private int Expire(StudioTransaction tx)
    {
        var expired = StudentStore.ExpiredOffers(tx, tx.Now.ToUnixMs());
        foreach (var offer in expired)
            SeatOffers.Save(tx, offer with { State = State.Expired }, SeatOffers.Load(tx, offer.Class, tx.Now.ToUnixMs(), options));
        foreach (var castingClass in expired.Select(offer => offer.Class).Distinct()) SeatOffers.OfferFree(tx, castingClass, options);
        return expired.Count;
    }
}
