using System.Threading.Channels;
using Google.Api;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Planning.Checking;
using Pourwright.Planning.Season;
using Pourwright.Planning.Solving;
using Pourwright.Studio.Classes;
using Pourwright.Studio.Instructors;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Event = Pourwright.V1.PlanEvent.KindOneofCase;
using Format = Pourwright.V1.DrawPlanRequest.Types.Format;
using LocalDays = Pourwright.Studio.Classes.Days;
using PlanProgress = Pourwright.V1.PlanProgress;
using Solving = Pourwright.Planning.Solving;
using Stage = Pourwright.V1.PlanProgress.Types.Stage;
using State = Pourwright.V1.Plan.Types.State;

namespace Pourwright.Studio.Plans;

/// <summary>gRPC of plans.proto. Searching and checking run beside the writer; what they rest on is compared again when it is saved.</summary>
public sealed class PlanService(
    WriteRequests writes, StudioReads reads, SeasonPlanner planner, PlanOptions options, ClassOptions classOptions, TimeProvider clock)
    : V1.PlanService.PlanServiceBase
{
    private const int MostDays = 366;

    /// <summary>Records that change while a plan is checked in a row, before the caller is told to try again. Common practice, no source.</summary>
    private const int AttemptsMax = 5;

    public override async Task PlanSeason(PlanSeasonRequest request, IServerStreamWriter<PlanProgress> responseStream, ServerCallContext context)
    {
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Day("first_date", request.FirstDate, required: true)
            .Require(request.DayCount is >= 1 and <= MostDays, "day_count", $"must be 1 to {MostDays}.", $"{request.DayCount}")
            .NewId("plan_id", request.PlanId)
            .Require(request.PlanId != "published", "plan_id", "must be another word: `published` stands for the plan that holds.", request.PlanId)
            .Require(request.SearchDuration is null || DescribeSite.IsWithin(request.SearchDuration, TimeSpan.FromSeconds(1), TimeSpan.FromHours(1)),
                "search_duration", "must be a second to an hour, or be left out.", $"{request.SearchDuration}")
            .ThrowIfAny();
        var telling = new PlanTelling(clock);
        if (reads.Read(session => WriteRequests.Answered<Plan>(session, request)) is { } before)
        {
            await responseStream.WriteAsync(telling.Done(before), context.CancellationToken);
            return;
        }
        var found = await TellAsync(responseStream, telling, stop => Draft(request, telling, stop), request.KeepOnCancel, context.CancellationToken);
        var saved = await SaveAsync(request, found, request.KeepOnCancel ? CancellationToken.None : context.CancellationToken);
        await responseStream.WriteAsync(telling.Done(saved), context.CancellationToken);
    }

    public override Task<Plan> GetPlan(GetPlanRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Plan).ThrowIfAny();
        return Task.FromResult(reads.Read(session => PlanStore.GetPlan(session, request.Name)).ToProto());
    }

    public override Task<ListPlansResponse> ListPlans(ListPlansRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListPlans), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (plans, next) = page.Cut(PlanStore.ListPlans(session, request.Parent, page), plan => new PageKey(plan.CreateMs, plan.Name));
            return new ListPlansResponse { Plans = { plans.Select(plan => plan.ToProto(withClasses: false)) }, NextPageToken = next };
        }));
    }

    public override Task<ClassExplanation> ExplainClass(ExplainClassRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Plan)
            .Name("casting_class", request.CastingClass, ResourceKind.CastingClass, ResourceNames.StudioOf(request.Name))
            .ThrowIfAny();
        var plan = reads.Read(session =>
        {
            ClassStore.GetClass(session, request.CastingClass);
            return PlanStore.GetPlan(session, request.Name);
        });
        var season = planner.LoadFor(plan);
        context.CancellationToken.ThrowIfCancellationRequested();
        return Task.FromResult(Plans.ExplainClass.Decide(season, PlanOf(season, plan), request.CastingClass, plan.Name));
    }

    public override Task<Plan> PublishPlan(PublishPlanRequest request, ServerCallContext context) => PublishAsync(
        request, "publisher", new(request.Name, State.Draft, request.Publisher, request.Reason, request.NearSessionsDecider), context.CancellationToken);

    public override Task<Plan> ChooseProposal(ChooseProposalRequest request, ServerCallContext context) => PublishAsync(
        request, "chooser", new(request.Name, State.Proposed, request.Chooser, request.Reason, request.NearSessionsDecider), context.CancellationToken);

    public override Task<HttpBody> DrawPlan(DrawPlanRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Plan)
            .Require(request.WidthPx is 0 or (>= 400 and <= 4000), "width_px", "must be 400 to 4000, or 0.", $"{request.WidthPx}")
            .ThrowIfAny();
        var plan = reads.Read(session => PlanStore.GetPlan(session, request.Name));
        var picture = Plans.DrawPlan.Decide(planner.LoadFor(plan), plan);
        var widthPx = request.WidthPx == 0 ? PlanPicture.DefaultWidthPx : request.WidthPx;
        var (type, data) = request.Format switch
        {
            Format.Png => ("image/png", picture.Png(widthPx)),
            Format.Pdf => ("application/pdf", picture.Pdf(plan.Text, clock.GetUtcNow())),
            _ => ("image/svg+xml", picture.Svg(widthPx)),
        };
        return Task.FromResult(new HttpBody { ContentType = type, Data = ByteString.CopyFrom(data) });
    }

    public override async Task Replan(ReplanRequest request, IServerStreamWriter<PlanProgress> responseStream, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.SearchDuration is null || DescribeSite.IsWithin(request.SearchDuration, TimeSpan.FromSeconds(1), TimeSpan.FromMinutes(10)),
                "search_duration", "must be a second to ten minutes, or be left out.", $"{request.SearchDuration}");
        for (var i = 0; i < request.NearClasses.Count; i++) checks.Name($"near_classes[{i}]", request.NearClasses[i], ResourceKind.CastingClass, request.Parent);
        MeetEvent.Check(checks, request.Event, request.Parent);
        checks.ThrowIfAny();
        var telling = new PlanTelling(clock);
        if (reads.Read(session => WriteRequests.Answered<ListPlansResponse>(session, request)) is { } before)
        {
            await responseStream.WriteAsync(telling.Done(before.Plans), context.CancellationToken);
            return;
        }
        var proposals = await TellAsync(responseStream, telling, stop => Propose(request, telling, stop), keepOnCancel: false, context.CancellationToken);
        var saved = await writes.RunAsync(request, tx =>
        {
            foreach (var proposal in proposals) PlanStore.Insert(tx, proposal);
            return new ListPlansResponse { Plans = { proposals.Select(proposal => proposal.ToProto()) } };
        }, context.CancellationToken);
        await responseStream.WriteAsync(telling.Done(saved.Plans), context.CancellationToken);
    }

    /// <summary>Does the work beside the call and tells how it stands. A caller who leaves ends it early; what it has found by then is answered if kept.</summary>
    private static async Task<T> TellAsync<T>(
        IServerStreamWriter<PlanProgress> stream, PlanTelling telling, Func<CancellationToken, T> find, bool keepOnCancel, CancellationToken left)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(left);
        var work = Task.Run(() => find(stop.Token), CancellationToken.None);
        try
        {
            await telling.SendAsync(stream, work, left);
        }
        catch (Exception) when (keepOnCancel) { }
        finally
        {
            // A write may fail before the call is seen to be over.
            if (!work.IsCompleted) await stop.CancelAsync();
            await Task.WhenAny(work);
        }
        return await work;
    }

    private IReadOnlyList<PlanRecord> Propose(ReplanRequest request, PlanTelling telling, CancellationToken stop)
    {
        var published = reads.Read(session => PlanStore.FindPublished(session, request.Parent)) ?? throw Refusal.Precondition(
            Reasons.PlanState, $"{request.Parent} has no plan that holds. Draft a season and publish it first.", ("studio", request.Parent));
        reads.Read(session => PlanEventStore.Check(session, request.Event));
        var (first, days) = RestOf(published);
        var season = planner.Load(request.Parent, first, days, HeldClasses.MayMove, request.Event);
        SeasonPlanner.AskCure(season, text => telling.Say(Stage.Cure, text), stop);
        var near = request.NearClasses.Select(season.ClassIndex).Where(c => c >= 0).ToHashSet();
        telling.Say(Stage.Search, $"Looks for ways out, because {MeetEvent.Words(request.Event)}.");
        using var limit = new CancellationTokenSource(request.SearchDuration?.ToTimeSpan() ?? options.ReplanFor, clock);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(stop, limit.Token);
        var mending = planner.Mend(season, near, either.Token);
        telling.Say(Stage.Search, ProposePlans.Found(season, mending));
        return ProposePlans.Decide(season, mending, request.Event, published.Name,
            () => ResourceKind.Plan.Under(request.Parent, ResourceKind.Plan.NewId()));
    }

    /// <summary>Of the days of a plan those from today on.</summary>
    private (DateOnly First, int Days) RestOf(PlanRecord plan)
    {
        var (first, today) = (LocalDays.FromColumn(plan.FirstDate), DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime));
        var end = first.AddDays(plan.DayCount);
        var from = first > today ? first : today;
        return (from, Math.Max(1, end.DayNumber - from.DayNumber));
    }

    private PlanRecord Draft(PlanSeasonRequest request, PlanTelling telling, CancellationToken stop)
    {
        var season = planner.Load(request.Parent, LocalDays.Of(request.FirstDate), request.DayCount, HeldClasses.Stay);
        if (season.Classes.All(castingClass => castingClass.State != CastingClass.Types.State.Requested))
            throw Refusal.Precondition(
                Reasons.SeasonEmpty, $"No class is asked for whose pour may lie in the {request.DayCount} days from {LocalDays.ToColumn(LocalDays.Of(request.FirstDate))}. Create classes, or choose other days.",
                ("first_date", LocalDays.ToColumn(LocalDays.Of(request.FirstDate))), ("day_count", $"{request.DayCount}"));
        SeasonPlanner.AskCure(season, text => telling.Say(Stage.Cure, text), stop);
        // The limit is one of the search, so it begins with that: what is asked of the cure before is needed whatever is found.
        using var limit = new CancellationTokenSource(request.SearchDuration?.ToTimeSpan() ?? Timeout.InfiniteTimeSpan, clock);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(stop, limit.Token);
        var (plan, bound) = planner.Search(season, telling, either.Token);
        telling.Say(Stage.Check, "Holds the plan against every rule, and looks why classes have no place.");
        var published = reads.Read(session => PlanStore.FindPublished(session, request.Parent))?.Name;
        var name = ResourceKind.Plan.Under(request.Parent, ResourceKind.Plan.IdOrNew(request.PlanId));
        return DraftPlan.Decide(season, plan, bound, PlanOrigin.Season(name, published), SeasonPlanner.Why(season, plan));
    }

    private Task<Plan> SaveAsync(PlanSeasonRequest request, PlanRecord plan, CancellationToken ct) => writes.RunAsync(request, tx =>
    {
        PlanStore.Insert(tx, plan);
        return plan.ToProto();
    }, ct);

    private sealed record Publication(string Plan, State Wanted, string Person, string Reason, string Decider);

    private async Task<Plan> PublishAsync<TRequest>(TRequest request, string personField, Publication wanted, CancellationToken ct)
        where TRequest : IMessage<TRequest>
    {
        new FieldChecks()
            .Name("name", wanted.Plan, ResourceKind.Plan)
            .Text(personField, wanted.Person, 80)
            .Text("reason", wanted.Reason, 200, 0)
            .Text("near_sessions_decider", wanted.Decider, 80, 0)
            .ThrowIfAny();
        if (reads.Read(session => WriteRequests.Answered<Plan>(session, request)) is { } before) return before;
        for (var attempt = 1; ; attempt++)
        {
            var plan = reads.Read(session => PlanStore.GetPlan(session, wanted.Plan));
            Plans.PublishPlan.CheckState(plan, wanted.Wanted);
            var season = planner.LoadFor(plan);
            var found = Plans.PublishPlan.Check(season, plan);
            var saved = await writes.RunAsync(request, tx => Publish(tx, wanted, plan, season, found, isLast: attempt == AttemptsMax), ct);
            if (saved.Name.Length > 0) return saved;
        }
    }

    /// <summary>An empty plan where the records have changed since they were checked.</summary>
    private Plan Publish(StudioTransaction tx, Publication wanted, PlanRecord plan, PlannedSeason season, ClassPlan found, bool isLast)
    {
        if (SeasonFactsStore.Fingerprint(tx, plan.Studio) != season.Facts.Fingerprint)
            return isLast ? throw Plans.PublishPlan.Stale(plan, "they change faster than it is checked") : new();
        if (wanted.Wanted == State.Proposed) Plans.PublishPlan.CheckBase(plan, PlanStore.FindPublished(tx, plan.Studio)?.Name);
        var happened = plan.Event is { } json ? EventJson.Read(json) : null;
        var reason = wanted.Reason.Length > 0 ? wanted.Reason : happened is not null ? MeetEvent.Words(happened) : "";
        var changes = Plans.PublishPlan.Decide(season, found, plan, reason)
            .SelectMany(dates => ClassStore.SaveSessions(tx, ClassStore.GetClass(tx, dates.Class.Name), dates.Sessions, dates.Reason, classOptions)).ToArray();
        Plans.PublishPlan.CheckNear(changes, wanted.Decider, tx.Now.ToUnixMs(), options.ChangesEndAhead);
        if (happened is not null && wanted.Wanted == State.Proposed) Record(tx, happened);
        PlanStore.Publish(tx, plan, wanted.Person, reason);
        return PlanStore.GetPlan(tx, plan.Name).ToProto();
    }

    private static void Record(StudioTransaction tx, PlanEvent happened)
    {
        if (happened.KindCase == Event.InstructorAway)
            InstructorStore.InsertAbsence(tx, MeetEvent.Absence(happened, ResourceKind.Absence.Under(happened.InstructorAway.Instructor, ResourceKind.Absence.NewId())));
        else if (happened.KindCase is Event.SiteClosed or Event.StationDown)
        {
            var site = SiteStore.GetSite(tx, MeetEvent.SiteOf(happened));
            SiteStore.InsertOutage(tx, MeetEvent.Outage(happened, ResourceKind.Outage.Under(site.Name, ResourceKind.Outage.NewId()), site));
        }
    }

    private static ClassPlan PlanOf(PlannedSeason season, PlanRecord plan) => new(
        [.. plan.Placed.Select(row => season.ClassIndex(row.Class) is >= 0 and var c ? season.PlacementOf(c, row.Sessions) : null).OfType<Placement>()]);
}
