using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Classes.Prep;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Classes;

/// <summary>gRPC of classes.proto.</summary>
public sealed class ClassService(WriteRequests writes, StudioReads reads, ClassOptions options) : V1.ClassService.ClassServiceBase
{
    public override Task<CastingClass> CreateCastingClass(CreateCastingClassRequest request, ServerCallContext context)
    {
        request.CastingClass ??= new();
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("casting_class_id", request.CastingClassId)
            .ThrowIfAny();
        DescribeClass.CheckShape(request.CastingClass, request.Parent);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.CastingClass.Under(request.Parent, ResourceKind.CastingClass.IdOrNew(request.CastingClassId));
            ClassStore.InsertClass(tx, Decide(tx, name, request.CastingClass));
            return ClassViews.Load(tx, name);
        }, context.CancellationToken);
    }

    public override Task<CastingClass> GetCastingClass(GetCastingClassRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).ThrowIfAny();
        return Task.FromResult(reads.Read(session => ClassViews.Load(session, request.Name)));
    }

    public override Task<ListCastingClassesResponse> ListCastingClasses(ListCastingClassesRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(Enum.IsDefined(request.State), "state", "must be a state of a class, or not said.", $"{(int)request.State}")
            .Day("start_date", request.StartDate)
            .Day("end_date", request.EndDate)
            .ThrowIfAny();
        var filter = new ClassFilter(request.State, Column(request.StartDate), Column(request.EndDate));
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListCastingClasses), request.Parent, $"{filter}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (classes, next) = page.Cut(ClassStore.ListClasses(session, request.Parent, filter, page), castingClass => castingClass.Name);
            return new ListCastingClassesResponse
            {
                CastingClasses = { classes.Select(castingClass => ClassViews.Load(session, castingClass)) },
                NextPageToken = next,
            };
        }));
    }

    public override Task<CastingClass> UpdateCastingClass(UpdateCastingClassRequest request, ServerCallContext context)
    {
        request.CastingClass ??= new();
        new FieldChecks().Name("casting_class.name", request.CastingClass.Name, ResourceKind.CastingClass).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var current = ClassStore.GetClass(tx, request.CastingClass.Name);
            var merged = DescribeClass.Merge(current, request.CastingClass, request.UpdateMask, OfferingStore.GetOffering(tx, current.Offering));
            DescribeClass.CheckShape(merged, current.Studio);
            var changed = Decide(tx, current.Name, merged);
            DescribeClass.RequireSeats(changed, SeatCounts.Of(StudentStore.GetEnrolments(tx, current.Name)));
            ClassStore.UpdateClass(tx, changed);
            SeatOffers.OfferFree(tx, current.Name, options);
            return ClassViews.Load(tx, current.Name);
        }, context.CancellationToken);
    }

    public override Task<CastingClass> CancelCastingClass(CancelCastingClassRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).Text("reason", request.Reason, 200).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var cancelled = DescribeClass.Cancel(ClassStore.GetClass(tx, request.Name), request.Reason, tx.NewEtag());
            ClassStore.UpdateClass(tx, cancelled);
            SeatOffers.Silence(tx, request.Name);
            ClassStore.SaveSessions(tx, cancelled, [], request.Reason, options);
            return ClassViews.Load(tx, request.Name);
        }, context.CancellationToken);
    }

    public override Task<CastingClass> ScheduleSessions(ScheduleSessionsRequest request, ServerCallContext context)
    {
        Classes.ScheduleSessions.CheckShape(request);
        var caller = Caller.Of(context.GetHttpContext())!;
        return writes.RunAsync(request, tx =>
        {
            var facts = LoadFacts(tx, request, caller);
            var sessions = Classes.ScheduleSessions.Decide(request, facts);
            ClassStore.SaveSessions(tx, facts.Class, sessions, request.Reason, options);
            var view = ClassViews.Load(tx, request.Name);
            view.Cautions.Add(Classes.ScheduleSessions.Cautions(sessions, facts));
            return view;
        }, context.CancellationToken);
    }

    public override Task<Session> GetSession(GetSessionRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Session).ThrowIfAny();
        return Task.FromResult(reads.Read(session => ClassStore.GetSession(session, request.Name).ToProto()));
    }

    public override Task<ListSessionsResponse> ListSessions(ListSessionsRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .OptionalTime("start_time", request.StartTime)
            .OptionalTime("end_time", request.EndTime);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        if (request.Instructor.Length > 0) checks.Name("instructor", request.Instructor, ResourceKind.Instructor, request.Parent);
        checks.ThrowIfAny();
        var filter = new SessionFilter(request.Site, request.Instructor,
            request.StartTime.ToUnixMsOrNull() ?? long.MinValue, request.EndTime.ToUnixMsOrNull() ?? long.MaxValue);
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListSessions), request.Parent, $"{filter}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (sessions, next) = page.Cut(ClassStore.ListSessions(session, request.Parent, filter, page), one => new PageKey(one.StartMs, one.Name));
            return new ListSessionsResponse { Sessions = { sessions.Select(one => one.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<PrepTask> GetPrepTask(GetPrepTaskRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.PrepTask).ThrowIfAny();
        return Task.FromResult(reads.Read(session => PrepTaskStore.GetTask(session, request.Name).ToProto()));
    }

    public override Task<ListPrepTasksResponse> ListPrepTasks(ListPrepTasksRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .OptionalTime("due_before_time", request.DueBeforeTime);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        if (request.CastingClass.Length > 0) checks.Name("casting_class", request.CastingClass, ResourceKind.CastingClass, request.Parent);
        checks.ThrowIfAny();
        var filter = new TaskFilter(request.Site, request.CastingClass, request.DueBeforeTime.ToUnixMsOrNull() ?? long.MaxValue, request.IncludeDone);
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListPrepTasks), request.Parent, $"{filter}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (tasks, next) = page.Cut(PrepTaskStore.ListTasks(session, request.Parent, filter, page), task => new PageKey(task.DueMs, task.Name));
            return new ListPrepTasksResponse { PrepTasks = { tasks.Select(task => task.ToProto()) }, NextPageToken = next };
        }));
    }

    public override Task<Session> CloseSession(CloseSessionRequest request, ServerCallContext context)
    {
        Classes.CloseSession.Check(request);
        return writes.RunAsync(request, tx =>
        {
            var session = ClassStore.GetSession(tx, request.Name);
            var closed = Classes.CloseSession.Decide(session, request, tx.Now.ToUnixMs());
            if (session.CloseMs is null) ClassStore.Close(tx, closed);
            return closed.ToProto();
        }, context.CancellationToken);
    }

    public override Task<PrepTask> CompletePrepTask(CompletePrepTaskRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.PrepTask)
            .Text("worker", request.Worker, 80)
            .OptionalTime("complete_time", request.CompleteTime)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var doneMs = EventTime.OrNow(request.CompleteTime, tx.Now.ToUnixMs(), "complete_time");
            var task = PrepTasks.Complete(PrepTaskStore.GetTask(tx, request.Name), request.Worker, doneMs);
            PrepTaskStore.Save(tx, [task]);
            return task.ToProto();
        }, context.CancellationToken);
    }

    private static ClassRecord Decide(StudioTransaction tx, string name, CastingClass castingClass)
    {
        foreach (var site in castingClass.Sites) SiteStore.GetSite(tx, site);
        return DescribeClass.Decide(name, castingClass, OfferingStore.GetOffering(tx, castingClass.Offering), tx.NewEtag());
    }

    private static ScheduleFacts LoadFacts(StudioSession session, ScheduleSessionsRequest request, Caller caller)
    {
        var castingClass = ClassStore.GetClass(session, request.Name);
        var before = ClassStore.GetSessions(session, castingClass.Name);
        foreach (var bench in request.Sessions.Select(one => one.Bench).Where(bench => bench.Length > 0)) SiteStore.GetBench(session, bench);
        return new()
        {
            Class = castingClass,
            Offering = OfferingStore.GetOffering(session, castingClass.Offering),
            Before = before,
            Unseen = [.. before.Where(one => one.IsLive && !caller.Sees([one.Site]))],
            Sites = request.Sessions.Select(one => one.Site).Distinct().ToDictionary(name => name, name => SiteStore.GetSite(session, name)),
            Instructors = request.Sessions.Select(one => one.Instructor).Distinct()
                .ToDictionary(name => name, name => InstructorStore.GetInstructor(session, name)),
        };
    }

    private static string Column(Google.Type.Date? date) => Days.Find(date) is { } day ? Days.ToColumn(day) : "";
}
