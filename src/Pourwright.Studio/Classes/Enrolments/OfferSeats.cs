using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>Free seats are offered to those who wait, first come first, where they can come to every session.</summary>
/// <remarks>Once moulds and wood are due, one more student costs work that may not be possible any more: then a person decides.</remarks>
public static class OfferSeats
{
    /// <summary>The offers that follow by themselves; none once moulds or wood are due, or where the class is over.</summary>
    public static IReadOnlyList<EnrolmentRecord> Decide(ClassSeats seats) => !seats.Class.IsOpen || seats.HasBegun || seats.IsPrepDue
        ? []
        : [.. seats.Fitting.Take(Math.Max(0, seats.Free)).Select(one => Offered(one, seats))];

    /// <summary>One offer by a person's word.</summary>
    /// <exception cref="Refusal">CLASS_STATE, NO_SEAT_FREE, NOBODY_WAITS.</exception>
    public static EnrolmentRecord DecideByHand(ClassSeats seats)
    {
        EnrolStudent.RequireTaking(seats);
        if (seats.Free < 1)
            throw Refusal.Precondition(Reasons.NoSeatFree,
                $"All {seats.Class.Seats} seats of '{seats.Class.Name}' are taken or kept for an offer. Wait for an answer, or withdraw one.",
                ("casting_class", seats.Class.Name), ("seat_count", $"{seats.Class.Seats}"));
        return Offered(seats.Fitting.FirstOrDefault() ?? throw Refusal.Precondition(Reasons.NobodyWaits,
            $"Nobody who waits for '{seats.Class.Name}' accepts the day of every session. Enrol somebody else.", ("casting_class", seats.Class.Name)), seats);
    }

    /// <summary>The answer to an offer.</summary>
    /// <exception cref="Refusal">ENROLMENT_STATE, OFFER_EXPIRED, CLASS_STATE.</exception>
    public static EnrolmentRecord Accept(EnrolmentRecord offered, ClassSeats seats)
    {
        RequireState(offered, offered.State == State.Offered, "no seat is offered");
        EnrolStudent.RequireTaking(seats);
        if (offered.OfferExpiresMs <= seats.NowMs)
            throw Refusal.Precondition(Reasons.OfferExpired,
                $"The seat of '{offered.Name}' was kept until {Instants.Utc(offered.OfferExpiresMs.Value)}. Ask the studio whether one is still free.",
                ("enrolment", offered.Name), ("expire_time", Instants.Utc(offered.OfferExpiresMs.Value)));
        return offered with { State = State.Enrolled };
    }

    /// <inheritdoc cref="Accept"/>
    public static EnrolmentRecord Decline(EnrolmentRecord offered)
    {
        RequireState(offered, offered.State == State.Offered, "no seat is offered");
        return offered with { State = State.Declined };
    }

    /// <summary>A place is given back.</summary>
    /// <exception cref="Refusal">ENROLMENT_STATE where there is none.</exception>
    public static EnrolmentRecord Withdraw(EnrolmentRecord enrolment)
    {
        RequireState(enrolment, enrolment.IsLive, "there is no place to give back");
        return enrolment with { State = State.Withdrawn };
    }

    private static void RequireState(EnrolmentRecord enrolment, bool isRight, string what)
    {
        if (!isRight)
            throw Refusal.Precondition(Reasons.EnrolmentState, $"'{enrolment.Name}' is {enrolment.State}: {what}. Get it again.",
                ("enrolment", enrolment.Name), ("state", $"{enrolment.State}"));
    }

    private static EnrolmentRecord Offered(EnrolmentRecord waiting, ClassSeats seats) => waiting with
    {
        State = State.Offered,
        OfferedMs = seats.NowMs,
        OfferExpiresMs = Math.Min(seats.NowMs + (long)seats.Options.OfferLasts.TotalMilliseconds, seats.Pour?.StartMs ?? long.MaxValue),
        Cautions = seats.IsPrepDue ? MessageListJson.Write([PrepIsDue(seats.Class)]) : waiting.Cautions,
    };

    private static V1.Caution PrepIsDue(ClassRecord castingClass) => Refusals.Cautions.Of(Reasons.PrepDue,
        $"Moulds and wood of '{castingClass.DisplayName}' were due before this seat was offered. Ask whether there is a mould, wood and resin for one more before anybody counts on it.",
        ("casting_class", castingClass.Name));
}
