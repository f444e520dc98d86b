using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes.Enrolments;

/// <summary>gRPC of students.proto.</summary>
public sealed class StudentService(WriteRequests writes, StudioReads reads, ClassOptions options) : V1.StudentService.StudentServiceBase
{
    public override Task<Student> CreateStudent(CreateStudentRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).NewId("student_id", request.StudentId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Student.Under(request.Parent, ResourceKind.Student.IdOrNew(request.StudentId));
            var student = DescribeStudent.Decide(name, request.Student ?? new(), tx.NewEtag());
            StudentStore.InsertStudent(tx, student);
            return student.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Student> GetStudent(GetStudentRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Student).ThrowIfAny();
        return Task.FromResult(reads.Read(session => StudentStore.GetStudent(session, request.Name).ToProto()));
    }

    public override Task<ListStudentsResponse> ListStudents(ListStudentsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListStudents), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (students, next) = page.Cut(StudentStore.ListStudents(session, request.Parent, page), student => student.Name);
            return new ListStudentsResponse { Students = { students.Select(student => student.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Student> UpdateStudent(UpdateStudentRequest request, ServerCallContext context)
    {
        request.Student ??= new();
        new FieldChecks().Name("student.name", request.Student.Name, ResourceKind.Student).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = StudentStore.GetStudent(tx, request.Student.Name);
            var merged = UpdateMask.Merge(current.ToProto(), request.Student, request.UpdateMask, DescribeStudent.Changeable);
            var student = DescribeStudent.Decide(current.Name, merged, tx.NewEtag()).After(current);
            StudentStore.UpdateStudent(tx, student);
            ReminderStore.FollowRecipient(tx, student.Name, student.IsReachable ? student.ContactEmail : "");
            return student.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Enrolment> EnrolStudent(EnrolStudentRequest request, ServerCallContext context)
    {
        Enrolments.EnrolStudent.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            StudentStore.GetStudent(tx, request.Student);
            var seats = SeatOffers.Load(tx, request.Parent, tx.Now.ToUnixMs(), options);
            var name = ResourceKind.Enrolment.Under(request.Parent, ResourceKind.Enrolment.IdOrNew(request.EnrolmentId));
            StudentStore.InsertEnrolment(tx, Enrolments.EnrolStudent.Decide(name, request, seats));
            return View(tx, name);
        }, context.CancellationToken);
    }

    public override Task<Enrolment> GetEnrolment(GetEnrolmentRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Enrolment).ThrowIfAny();
        return Task.FromResult(reads.Read(session => View(session, request.Name)));
    }

    public override Task<ListEnrolmentsResponse> ListEnrolments(ListEnrolmentsRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.CastingClass)
            .Require(Enum.IsDefined(request.State), "state", "must be a state of an enrolment, or not said.", $"{(int)request.State}")
            .ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListEnrolments), request.Parent, $"{request.State}");
        return Task.FromResult(reads.Read(session =>
        {
            ClassStore.GetClass(session, request.Parent);
            var sessions = ClassStore.GetSessions(session, request.Parent);
            var (enrolments, next) = page.Cut(StudentStore.ListEnrolments(session, request.Parent, request.State, page), one => one.Sequence);
            return new ListEnrolmentsResponse { Enrolments = { enrolments.Select(one => one.ToProto(sessions)) }, NextPageToken = next };
        }));
    }

    public override Task<Enrolment> WithdrawEnrolment(WithdrawEnrolmentRequest request, ServerCallContext context)
    {
        CheckName(request.Name);
        return writes.RunAsync(request, tx => Change(tx, request.Name, (enrolment, _) => OfferSeats.Withdraw(enrolment)), context.CancellationToken);
    }

    public override Task<Enrolment> OfferSeat(OfferSeatRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var seats = SeatOffers.Load(tx, request.Name, tx.Now.ToUnixMs(), options);
            var offer = OfferSeats.DecideByHand(seats);
            SeatOffers.Save(tx, offer, seats);
            return View(tx, offer.Name);
        }, context.CancellationToken);
    }

    public override Task<Enrolment> AcceptSeat(AcceptSeatRequest request, ServerCallContext context)
    {
        CheckName(request.Name);
        return writes.RunAsync(request, tx => Change(tx, request.Name, OfferSeats.Accept), context.CancellationToken);
    }

    public override Task<Enrolment> DeclineSeat(DeclineSeatRequest request, ServerCallContext context)
    {
        CheckName(request.Name);
        return writes.RunAsync(request, tx => Change(tx, request.Name, (enrolment, _) => OfferSeats.Decline(enrolment)), context.CancellationToken);
    }

    private static void CheckName(string name) => new FieldChecks().Name("name", name, ResourceKind.Enrolment).ThrowIfAny();

    private Enrolment Change(StudioTransaction tx, string name, Func<EnrolmentRecord, ClassSeats, EnrolmentRecord> decide)
    {
        var enrolment = StudentStore.GetEnrolment(tx, name);
        var seats = SeatOffers.Load(tx, enrolment.Class, tx.Now.ToUnixMs(), options);
        SeatOffers.Save(tx, decide(enrolment, seats), seats);
        SeatOffers.OfferFree(tx, enrolment.Class, options);
        return View(tx, name);
    }

    private static Enrolment View(StudioSession session, string name)
    {
        var enrolment = StudentStore.GetEnrolment(session, name);
        return enrolment.ToProto(ClassStore.GetSessions(session, enrolment.Class));
    }
}
