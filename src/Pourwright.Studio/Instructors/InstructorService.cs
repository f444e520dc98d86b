using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Instructors;

/// <summary>gRPC of instructors.proto.</summary>
public sealed class InstructorService(WriteRequests writes, StudioReads reads) : V1.InstructorService.InstructorServiceBase
{
    public override Task<Instructor> CreateInstructor(CreateInstructorRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).NewId("instructor_id", request.InstructorId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var studio = SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Instructor.Under(studio.Name, ResourceKind.Instructor.IdOrNew(request.InstructorId));
            var instructor = Decide(tx, name, request.Instructor ?? new());
            InstructorStore.InsertInstructor(tx, instructor);
            return instructor.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Instructor> GetInstructor(GetInstructorRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Instructor).ThrowIfAny();
        return Task.FromResult(reads.Read(session => InstructorStore.GetInstructor(session, request.Name).ToProto()));
    }

    public override Task<ListInstructorsResponse> ListInstructors(ListInstructorsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListInstructors), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (instructors, next) = page.Cut(InstructorStore.ListInstructors(session, request.Parent, page), instructor => instructor.Name);
            return new ListInstructorsResponse { Instructors = { instructors.Select(instructor => instructor.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Instructor> UpdateInstructor(UpdateInstructorRequest request, ServerCallContext context)
    {
        request.Instructor ??= new();
        new FieldChecks().Name("instructor.name", request.Instructor.Name, ResourceKind.Instructor).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = InstructorStore.GetInstructor(tx, request.Instructor.Name);
            var merged = DescribeInstructor.Merge(current.ToProto(), request.Instructor, request.UpdateMask);
            var instructor = Decide(tx, current.Name, merged);
            InstructorStore.UpdateInstructor(tx, instructor);
            if (instructor.Email != current.Email) tx.Publish(new InstructorAddressChanged(instructor.Name));
            return instructor.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Absence> CreateAbsence(CreateAbsenceRequest request, ServerCallContext context)
    {
        RecordAbsence.Check(request);
        return writes.RunAsync(request, tx =>
        {
            var instructor = InstructorStore.GetInstructor(tx, request.Parent);
            var name = ResourceKind.Absence.Under(instructor.Name, ResourceKind.Absence.IdOrNew(request.AbsenceId));
            var absence = RecordAbsence.Decide(name, instructor.Name, request.Absence);
            InstructorStore.InsertAbsence(tx, absence);
            return absence.ToProto();
        }, context.CancellationToken);
    }

    public override Task<Absence> GetAbsence(GetAbsenceRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Absence).ThrowIfAny();
        return Task.FromResult(reads.Read(session => InstructorStore.GetAbsence(session, request.Name).ToProto()));
    }

    public override Task<ListAbsencesResponse> ListAbsences(ListAbsencesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Instructor).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListAbsences), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            InstructorStore.GetInstructor(session, request.Parent);
            var (absences, next) = page.Cut(InstructorStore.ListAbsences(session, request.Parent, page), absence => absence.Name);
            return new ListAbsencesResponse { Absences = { absences.Select(absence => absence.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Empty> DeleteAbsence(DeleteAbsenceRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Absence).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            InstructorStore.DeleteAbsence(tx, request.Name);
            return new Empty();
        }, context.CancellationToken);
    }

    private static InstructorRecord Decide(StudioTransaction tx, string name, Instructor instructor)
    {
        var studio = ResourceNames.StudioOf(name);
        DescribeInstructor.Check(instructor, studio);
        SiteStore.GetSite(tx, instructor.HomeSite);
        foreach (var offering in instructor.Offerings) OfferingStore.GetOffering(tx, offering);
        return DescribeInstructor.Decide(name, studio, instructor, tx.NewEtag());
    }
}
