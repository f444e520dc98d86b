using Pourwright.Studio.Classes;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Tests.Classes;

public sealed class SeatTests
{
    // Moulds are due on Friday 20 February at 18:00 in Lisbon, which is UTC; the pour begins on the 21st at 10:00.
    private const string Before = "2026-02-20 17:59", Due = "2026-02-20 18:00", Begun = "2026-02-21 10:00";

    [Fact]
    public void Enrol_SeatFree_GetsIt() => Assert.Equal(State.Enrolled, Enrol(ClassFacts.Seats(Before, ClassFacts.Place(1, State.Enrolled))).State);

    [Theory]
    [InlineData(State.Enrolled, State.Enrolled)]
    [InlineData(State.Enrolled, State.Offered)]
    public void Enrol_EverySeatTakenOrOffered_Waits(State first, State second) =>
        Assert.Equal(State.Waiting, Enrol(ClassFacts.Seats(Before, ClassFacts.Place(1, first), ClassFacts.Place(2, second))).State);

    [Fact]
    public void Enrol_SeatFreeButOthersWaitForIt_Waits() =>
        Assert.Equal(State.Waiting, Enrol(ClassFacts.Seats(Due, ClassFacts.Place(1, State.Enrolled), ClassFacts.Place(2, State.Waiting))).State);

    [Fact]
    public void Enrol_ThoseWhoWaitCannotCome_GetsTheSeat() => Assert.Equal(State.Enrolled, Enrol(ClassFacts.Seats(
        Due, ClassFacts.Place(1, State.Enrolled), ClassFacts.Place(2, State.Waiting, "2026-02-21"))).State);

    [Fact]
    public void Enrol_OneSessionNotAccepted_IsRefusedWithItsDay()
    {
        var refusal = Assert.Throws<Refusal>(() => Enrol(ClassFacts.Seats(Before), (21, 2)));

        Assert.Equal((Reasons.SeatNeedsEverySession, "Machine 2026-02-28"), (refusal.Reason, refusal.Facts["sessions"]));
    }

    [Fact]
    public void Enrol_EverySessionAccepted_KeepsTheDays() =>
        Assert.Equal("2026-02-21 2026-02-28", Enrol(ClassFacts.Seats(Before), (28, 2), (21, 2), (28, 2)).AcceptedDates);

    [Fact]
    public void Enrol_Twice_IsRefusedWithThePlace() => Assert.Equal(
        Reasons.StudentEnrolled, Assert.Throws<Refusal>(() => Enrol(ClassFacts.Seats(Before, ClassFacts.Place(9, State.Waiting)))).Reason);

    [Fact]
    public void Enrol_AfterWithdrawing_IsWelcome() =>
        Assert.Equal(State.Enrolled, Enrol(ClassFacts.Seats(Before, ClassFacts.Place(9, State.Withdrawn))).State);

    [Fact]
    public void Enrol_PourHasBegun_IsRefused() =>
        Assert.Equal(Reasons.ClassState, Assert.Throws<Refusal>(() => Enrol(ClassFacts.Seats(Begun))).Reason);

    [Theory]
    [InlineData(CastingClass.Types.State.Cancelled)]
    [InlineData(CastingClass.Types.State.Done)]
    public void Enrol_ClassOver_IsRefused(CastingClass.Types.State state) => Assert.Equal(
        Reasons.ClassState, Assert.Throws<Refusal>(() => Enrol(ClassFacts.Seats(Before) with { Class = ClassFacts.Asked(state) })).Reason);

    [Fact]
    public void Offer_SeatFree_GoesToTheFirstWhoCanComeToEverySession()
    {
        var offer = Assert.Single(OfferSeats.Decide(ClassFacts.Seats(
            Before, ClassFacts.Place(1, State.Enrolled), ClassFacts.Place(2, State.Waiting, "2026-02-21"),
            ClassFacts.Place(3, State.Waiting, "2026-02-21 2026-02-28"), ClassFacts.Place(4, State.Waiting))));

        Assert.Equal(("place-3", State.Offered, "[]"), (offer.Name.Split('/')[^1], offer.State, offer.Cautions));
    }

    // 48 h from Friday 17:59 would be Sunday; the pour begins on Saturday at 10:00.
    [Fact]
    public void Offer_EndsWhenThePourBegins() => Assert.Equal(
        ClassFacts.Utc(Begun), Assert.Single(OfferSeats.Decide(ClassFacts.Seats(Before, ClassFacts.Place(1, State.Waiting)))).OfferExpiresMs);

    [Fact]
    public void Offer_LongBefore_LastsTwoDays() => Assert.Equal(
        ClassFacts.Utc("2026-02-12 09:00"), Assert.Single(OfferSeats.Decide(ClassFacts.Seats("2026-02-10 09:00", ClassFacts.Place(1, State.Waiting)))).OfferExpiresMs);

    [Theory]
    [InlineData(Before, 1)]
    [InlineData(Due, 0)]
    [InlineData(Begun, 0)]
    public void Offer_ByItself_OnlyBeforeMouldsAreDue(string now, int count) =>
        Assert.Equal(count, OfferSeats.Decide(ClassFacts.Seats(now, ClassFacts.Place(1, State.Waiting))).Count);

    [Fact]
    public void Offer_ByHandAfterMouldsWereDue_CarriesTheCaution()
    {
        var offer = OfferSeats.DecideByHand(ClassFacts.Seats(Due, ClassFacts.Place(1, State.Waiting)));

        Assert.Equal(Reasons.PrepDue, Assert.Single(MessageListJson.Read<Caution>(offer.Cautions)).Reason);
    }

    [Fact]
    public void Offer_ByHandWithoutASeat_IsRefused() => Assert.Equal(Reasons.NoSeatFree, Assert.Throws<Refusal>(() => OfferSeats.DecideByHand(
        ClassFacts.Seats(Before, ClassFacts.Place(1, State.Enrolled), ClassFacts.Place(2, State.Offered), ClassFacts.Place(3, State.Waiting)))).Reason);

    [Fact]
    public void Offer_ByHandWithNobodyWhoCanCome_IsRefused() => Assert.Equal(Reasons.NobodyWaits, Assert.Throws<Refusal>(() =>
        OfferSeats.DecideByHand(ClassFacts.Seats(Before, ClassFacts.Place(1, State.Waiting, "2026-02-21")))).Reason);

    [Fact]
    public void Accept_InTime_IsEnrolled() => Assert.Equal(State.Enrolled, OfferSeats.Accept(Offered(1), ClassFacts.Seats(Before)).State);

    [Fact]
    public void Accept_WhenTheOfferEnds_IsTooLate() =>
        Assert.Equal(Reasons.OfferExpired, Assert.Throws<Refusal>(() => OfferSeats.Accept(Offered(0), ClassFacts.Seats(Before))).Reason);

    [Theory]
    [InlineData(State.Enrolled, Reasons.EnrolmentState)]
    [InlineData(State.Waiting, Reasons.EnrolmentState)]
    [InlineData(State.Declined, Reasons.EnrolmentState)]
    [InlineData(State.Withdrawn, Reasons.EnrolmentState)]
    [InlineData(State.Expired, Reasons.EnrolmentState)]
    public void Answer_WithoutAnOffer_IsRefused(State state, string reason)
    {
        var place = ClassFacts.Place(1, state);

        Assert.Equal(reason, Assert.Throws<Refusal>(() => OfferSeats.Accept(place, ClassFacts.Seats(Before))).Reason);
        Assert.Equal(reason, Assert.Throws<Refusal>(() => OfferSeats.Decline(place)).Reason);
    }

    [Theory]
    [InlineData(State.Enrolled)]
    [InlineData(State.Waiting)]
    [InlineData(State.Offered)]
    public void Withdraw_FromAPlace_GivesItBack(State state) => Assert.Equal(State.Withdrawn, OfferSeats.Withdraw(ClassFacts.Place(1, state)).State);

    [Theory]
    [InlineData(State.Declined)]
    [InlineData(State.Withdrawn)]
    [InlineData(State.Expired)]
    public void Withdraw_FromNone_IsRefused(State state) =>
        Assert.Equal(Reasons.EnrolmentState, Assert.Throws<Refusal>(() => OfferSeats.Withdraw(ClassFacts.Place(1, state))).Reason);

    private static EnrolmentRecord Offered(int minutesLeft) =>
        ClassFacts.Place(1, State.Offered) with { OfferedMs = 0, OfferExpiresMs = ClassFacts.Utc(Before) + minutesLeft * 60_000 };

    private static EnrolmentRecord Enrol(ClassSeats seats, params (int Day, int Month)[] accepted) => EnrolStudent.Decide(
        $"{ClassFacts.Class}/enrolments/new",
        new()
        {
            Student = "studios/alder/students/student-9",
            AcceptedDates = { accepted.Select(date => new Google.Type.Date { Year = 2026, Month = date.Month, Day = date.Day }) },
        },
        seats);
}
