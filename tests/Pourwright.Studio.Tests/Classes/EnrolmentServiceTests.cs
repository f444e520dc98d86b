using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;
using State = Pourwright.V1.Enrolment.Types.State;

namespace Pourwright.Studio.Tests.Classes;

public sealed class EnrolmentServiceTests : IAsyncLifetime
{
    private readonly ClassStudio _studio = new();

    private V1.StudentService.StudentServiceClient Students => _studio.Students;

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync(seats: 2);
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task Student_CreatedAndChanged_KeepsNothingElse()
    {
        var mara = await _studio.AddStudentAsync("mara", consent: false);

        var changed = await Students.UpdateStudentAsync(new() { Student = new() { Name = mara.Name, ConsentToMessages = true, Etag = mara.Etag } });

        Assert.Equal(("mara", "mara@post.example", true), (changed.DisplayName, changed.ContactEmail, changed.ConsentToMessages));
        Assert.Equal(changed, await Students.GetStudentAsync(new() { Name = mara.Name }));
        Assert.Equal(Reasons.EtagStale, await RefusalOfAsync(Students.UpdateStudentAsync(
            new() { Student = new() { Name = mara.Name, DisplayName = "M", Etag = mara.Etag } })));
        Assert.Equal(Reasons.StudentExists, await RefusalOfAsync(Students.CreateStudentAsync(
            new() { Parent = SampleStudio.Name, StudentId = "mara", Student = new() { DisplayName = "Other" } })));
        Assert.Equal(Reasons.FieldInvalid, await RefusalOfAsync(Students.CreateStudentAsync(
            new() { Parent = SampleStudio.Name, Student = new() { DisplayName = "Other", ContactEmail = "nowhere" } })));
        Assert.Equal([changed], (await Students.ListStudentsAsync(new() { Parent = SampleStudio.Name })).Students);
    }

    [Fact]
    public async Task Enrol_UntilFull_ThenWaits_AndTheRosterSaysWho()
    {
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("nuno");
        var third = await _studio.EnrolAsync("olga");

        Assert.Equal(State.Waiting, third.State);
        var roster = await Students.ListEnrolmentsAsync(new() { Parent = ClassStudio.Trays, State = State.Enrolled });
        Assert.Equal(["mara", "nuno"], roster.Enrolments.Select(one => one.StudentDisplayName));
        var castingClass = await _studio.Classes.GetCastingClassAsync(new() { Name = ClassStudio.Trays });
        Assert.Equal((2, 0, 1), (castingClass.EnrolledCount, castingClass.OfferedCount, castingClass.WaitingCount));
    }

    [Fact]
    public async Task Enrol_ManyAtOnce_NeverGivesASeatTwice()
    {
        var states = await Task.WhenAll(Enumerable.Range(1, 8).Select(number => _studio.EnrolAsync($"student-{number}")));

        Assert.Equal((2, 6), (states.Count(one => one.State == State.Enrolled), states.Count(one => one.State == State.Waiting)));
    }

    [Fact]
    public async Task Enrol_RepeatedWithTheSameRequestId_TakesOneSeat()
    {
        var mara = await _studio.AddStudentAsync("mara");
        var request = new EnrolStudentRequest { Parent = ClassStudio.Trays, Student = mara.Name, RequestId = Guid.NewGuid().ToString() };

        Assert.Equal(await Students.EnrolStudentAsync(request), await Students.EnrolStudentAsync(request));
        request.RequestId = "";
        Assert.Equal(Reasons.StudentEnrolled, await RefusalOfAsync(Students.EnrolStudentAsync(request)));
    }

    [Fact]
    public async Task Withdraw_OffersTheSeatToTheFirstWhoFits_WhoTakesIt()
    {
        await FillAsync();
        await _studio.EnrolAsync("pia");

        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });

        Assert.Equal((State.Withdrawn, State.Offered, State.Waiting), (await _studio.StateOfAsync("mara"), await _studio.StateOfAsync("olga"), await _studio.StateOfAsync("pia")));
        var (to, _, text) = Assert.Single(_studio.Reminders(Reminder.Types.Kind.SeatOffered));
        Assert.Equal("olga", to);
        Assert.Contains("It is kept until Sun 8 Feb 09:00 (UTC+00:00)", text, StringComparison.Ordinal);
        Assert.Equal(State.Enrolled, (await Students.AcceptSeatAsync(new() { Name = Place("olga") })).State);
        Assert.Equal(Reminder.Types.State.Withdrawn, Assert.Single(_studio.Reminders(Reminder.Types.Kind.SeatOffered)).State);
    }

    [Fact]
    public async Task Decline_GoesOnToTheNext()
    {
        await FillAsync();
        await _studio.EnrolAsync("pia");
        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });

        await Students.DeclineSeatAsync(new() { Name = Place("olga") });

        Assert.Equal((State.Declined, State.Offered), (await _studio.StateOfAsync("olga"), await _studio.StateOfAsync("pia")));
    }

    [Fact]
    public async Task Offer_NobodyAnswers_ExpiresAndGoesToTheNext()
    {
        await FillAsync();
        await _studio.EnrolAsync("pia");
        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });

        await _studio.GoToAsync("2026-02-08 08:59");
        Assert.Equal(State.Offered, await _studio.StateOfAsync("olga"));
        await _studio.GoToAsync("2026-02-08 09:00");

        Assert.Equal((State.Expired, State.Offered), (await _studio.StateOfAsync("olga"), await _studio.StateOfAsync("pia")));
        Assert.Equal(Reasons.EnrolmentState, await RefusalOfAsync(Students.AcceptSeatAsync(new() { Name = Place("olga") })));
    }

    [Fact]
    public async Task Withdraw_AfterMouldsWereDue_OffersOnlyByAPersonsWordAndSaysSo()
    {
        await FillAsync();
        await _studio.GoToAsync("2026-02-20 18:00");

        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });
        Assert.Equal(State.Waiting, await _studio.StateOfAsync("olga"));

        var offer = await Students.OfferSeatAsync(new() { Name = ClassStudio.Trays });
        Assert.Equal((Place("olga"), State.Offered), (offer.Name, offer.State));
        Assert.Equal([Reasons.PrepDue], offer.Cautions.Select(caution => caution.Reason));
        Assert.Equal(ClassStudio.At("2026-02-21 10:00"), offer.ExpireTime);
    }

    [Fact]
    public async Task Offer_ToAStudentWithoutConsent_IsToldToTheOwnerWithoutAName()
    {
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("nuno");
        await _studio.EnrolAsync("quim", consent: false);

        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });

        var (to, _, text) = Assert.Single(_studio.Reminders(Reminder.Types.Kind.SeatOffered));
        Assert.Equal("Owner", to);
        Assert.Contains("enrolment quim", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sessions_MovedToADayNotAccepted_AreCautionedOnTheSeat()
    {
        await _studio.EnrolAsync("mara", consent: true, ClassStudio.Day(2026, 2, 21), ClassStudio.Day(2026, 2, 28));
        var moved = ClassStudio.Schedule(reason: "the planer is down");
        moved.Sessions[1].Date = ClassStudio.Day(2026, 3, 1);
        Assert.Empty((await Students.GetEnrolmentAsync(new() { Name = Place("mara") })).Cautions);

        await _studio.Classes.ScheduleSessionsAsync(moved);

        var seat = await Students.GetEnrolmentAsync(new() { Name = Place("mara") });
        Assert.Equal((State.Enrolled, Reasons.SeatNeedsEverySession), (seat.State, Assert.Single(seat.Cautions).Reason));
    }

    [Fact]
    public async Task Sessions_MovedToDaysThatSuitWhoWaits_OfferTheFreeSeat()
    {
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("nuno");
        await _studio.EnrolAsync("olga", consent: true, ClassStudio.Day(2026, 2, 21), ClassStudio.Day(2026, 2, 28));
        var moved = ClassStudio.Schedule(reason: "the planer is down");
        moved.Sessions[1].Date = ClassStudio.Day(2026, 3, 1);
        await _studio.Classes.ScheduleSessionsAsync(moved);
        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });
        Assert.Equal(State.Waiting, await _studio.StateOfAsync("olga"));

        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule(reason: "the planer runs again"));

        Assert.Equal(State.Offered, await _studio.StateOfAsync("olga"));
    }

    [Fact]
    public async Task Class_GivenUp_TakesBackWhatWasSaidOfOffers()
    {
        await FillAsync();
        await Students.WithdrawEnrolmentAsync(new() { Name = Place("mara") });

        await _studio.Classes.CancelCastingClassAsync(new() { Name = ClassStudio.Trays, Reason = "too few students" });

        Assert.Equal(Reminder.Types.State.Withdrawn, Assert.Single(_studio.Reminders(Reminder.Types.Kind.SeatOffered)).State);
        Assert.Equal(Reasons.ClassState, await RefusalOfAsync(Students.AcceptSeatAsync(new() { Name = Place("olga") })));
    }

    [Fact]
    public async Task NotFound_AndWrongFields_AreRefused()
    {
        Assert.Equal(Reasons.StudentNotFound, await RefusalOfAsync(Students.EnrolStudentAsync(
            new() { Parent = ClassStudio.Trays, Student = "studios/alder/students/none" })));
        Assert.Equal(Reasons.EnrolmentNotFound, await RefusalOfAsync(Students.GetEnrolmentAsync(new() { Name = Place("none") })));
        Assert.Equal(Reasons.FieldInvalid, await RefusalOfAsync(Students.EnrolStudentAsync(
            new() { Parent = ClassStudio.Trays, Student = "studios/elm/students/mara" })));
        var mara = await _studio.AddStudentAsync("mara");
        Assert.Equal(Reasons.CastingClassNotFound, await RefusalOfAsync(Students.EnrolStudentAsync(
            new() { Parent = "studios/alder/classes/none", Student = mara.Name })));
    }

    private async Task FillAsync()
    {
        await _studio.EnrolAsync("mara");
        await _studio.EnrolAsync("nuno");
        await _studio.EnrolAsync("olga");
    }

    private static string Place(string id) => $"{ClassStudio.Trays}/enrolments/{id}";

    private static async Task<string> RefusalOfAsync<T>(AsyncUnaryCall<T> call) =>
        (await Assert.ThrowsAsync<RpcException>(() => call.ResponseAsync)).Reason();
}
