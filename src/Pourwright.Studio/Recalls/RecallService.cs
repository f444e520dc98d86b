using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;
using Format = Pourwright.V1.PrintTraceRequest.Types.Format;
using Where = Pourwright.V1.RecallPiece.Types.Where;

namespace Pourwright.Studio.Recalls;

/// <summary>gRPC of recalls.proto; holds of sisters and masses are in a file of their own.</summary>
public sealed partial class RecallService(WriteRequests writes, StudioReads reads, TimeProvider clock, RecallOptions options)
    : V1.RecallService.RecallServiceBase
{
    private static readonly JsonFormatter Json = new(JsonFormatter.Settings.Default.WithIndentation());

    public override Task<Recall> StartRecall(StartRecallRequest request, ServerCallContext context)
    {
        Recalls.StartRecall.CheckShape(request);
        var startMs = NowMs;
        return writes.RunAsync(request, tx =>
        {
            var studio = SiteStore.GetStudio(tx, request.Parent);
            var (name, from) = (NewName(request.Parent, request.RecallId), RecallFrom.Of(request.Scope));
            var (reach, found) = Find(tx, request.Parent, from);
            var listMs = NowMs;
            HoldStore.Hold(tx, reach, new(name, RecallTexts.HoldReason(name, request.Reason), request.Starter, tx.Now.ToUnixMs()));
            var recall = Recalls.StartRecall.Decide(new(name, from, request.Reason, request.Starter, startMs, listMs, NowMs), found);
            RecallStore.Insert(tx, recall);
            Tell(tx, recall, studio.DisplayName, found);
            return View(tx, name);
        }, context.CancellationToken);
    }

    /// <summary>Finds beside the writer, which only keeps what was found.</summary>
    public override async Task<Recall> StartDrill(StartDrillRequest request, ServerCallContext context)
    {
        Recalls.StartRecall.CheckShape(request);
        if (reads.Read(session => WriteRequests.Answered<Recall>(session, request)) is { } before) return before;
        var name = NewName(request.Parent, request.RecallId);
        var startMs = NowMs;
        var drill = reads.Read(session => Drill(session, request, name, startMs));
        return await writes.RunAsync(request, tx =>
        {
            RecallStore.Insert(tx, drill);
            return View(tx, name);
        }, context.CancellationToken);
    }

    public override Task<Recall> GetRecall(GetRecallRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Recall).ThrowIfAny();
        return Task.FromResult(reads.Read(session => View(session, request.Name)));
    }

    public override Task<ListRecallsResponse> ListRecalls(ListRecallsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListRecalls), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (recalls, next) = page.Cut(RecallStore.ListRecalls(session, request.Parent, page), recall => new(recall.StartMs, recall.Name));
            return new ListRecallsResponse { Recalls = { recalls.Select(recall => Brief(session, recall)) }, NextPageToken = next };
        }));
    }

    public override Task<HttpBody> PrintRecall(PrintRecallRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Recall)
            .Require(Enum.IsDefined(request.Format), "format", "must be FORMAT_TEXT, FORMAT_JSON or FORMAT_PDF.", $"{request.Format}")
            .ThrowIfAny();
        var (recall, places) = reads.Read(session =>
            (View(session, request.Name), TraceStore.LoadPlaces(session, ResourceNames.StudioOf(request.Name))));
        Report Page() => recall.Drill ? DrillCertificate.Write(recall, places) : RecallReport.Write(recall, places, clock.GetUtcNow());
        return Task.FromResult(request.Format switch
        {
            Format.Json => Body("application/json", ByteString.CopyFromUtf8(Json.Format(recall) + "\n")),
            Format.Pdf => Body("application/pdf", ByteString.CopyFrom(ReportPdf.Print(Page()))),
            _ => Body("text/plain; charset=utf-8", ByteString.CopyFromUtf8(ReportText.Print(Page()))),
        });
    }

    public override Task<RecallNotice> AcknowledgeRecallNotice(AcknowledgeRecallNoticeRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.RecallNotice)
            .Require(request.Answer is > RecallNotice.Types.Answer.Unspecified and <= RecallNotice.Types.Answer.NotReached, "answer",
                "must be ANSWER_RETURNED, ANSWER_KEPT or ANSWER_NOT_REACHED.", $"{request.Answer}")
            .Text("person", request.Person, 80)
            .Text("note", request.Note, 500, 0)
            .ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var notice = RecallStore.GetNotice(tx, request.Name);
            Recalls.CloseRecall.RequireOpen(RecallStore.GetRecall(tx, notice.Recall));
            RecallStore.InsertAnswer(tx, notice.Name, request.Answer, request.Person, request.Note);
            Silence(tx, notice, "answered");
            return RecallStore.GetNotice(tx, notice.Name).ToProto();
        }, context.CancellationToken);
    }

    public override Task<Recall> CloseRecall(CloseRecallRequest request, ServerCallContext context)
    {
        Recalls.CloseRecall.CheckShape(request);
        return writes.RunAsync(request, tx =>
        {
            var notices = RecallStore.Notices(tx, request.Name);
            RecallStore.Close(tx, Recalls.CloseRecall.Decide(request, RecallStore.GetRecall(tx, request.Name), notices, tx.Now.ToUnixMs()));
            foreach (var notice in notices.Where(notice => notice.AnswerMs is null)) Silence(tx, notice, "the recall was closed");
            if (request.Release) HoldStore.Release(tx, new(request.Name, request.Outcome, request.Closer, tx.Now.ToUnixMs()));
            return View(tx, request.Name);
        }, context.CancellationToken);
    }

    private long NowMs => clock.GetUtcNow().ToUnixMs();

    private static (Reach Reach, RecallFindings Found) Find(StudioSession session, string studio, RecallFrom from)
    {
        var reach = ReachStore.Load(session, from);
        Recalls.StartRecall.RequireReached(from, reach);
        var people = RecallStore.LoadPeople(session, studio, reach);
        return (reach, new(ListRecall.Decide(reach, TraceStore.LoadPlaces(session, studio)),
            PeopleToTell.Decide(reach, people), PeopleToTell.SilentSites(reach, people), ReachStore.OtherDeliveries(session, reach.Lots)));
    }

    private RecallRecord Drill(StudioSession session, StartDrillRequest request, string name, long startMs)
    {
        SiteStore.GetStudio(session, request.Parent);
        var seed = request.Piece.Length > 0 ? "" : request.Seed.Length > 0 ? request.Seed : ResourceNames.IdOf(name);
        var chosen = request.Scope is null && request.Piece.Length == 0 ? AnyPoured(session, request.Parent, seed) : request.Piece;
        var from = request.Scope is { } scope ? RecallFrom.Of(scope) : new(chosen);
        var (reach, found) = Find(session, request.Parent, from);
        var list = found.List;
        var listMs = NowMs;
        var piece = chosen.Length > 0 ? chosen
            : list.Pieces.Count > 0 ? list.Pieces.Select(line => line.Piece).Order(StringComparer.Ordinal).ElementAt(ProveDrill.Choose(seed, list.Pieces.Count))
            : AnyPoured(session, request.Parent, seed);
        var ancestry = ReachStore.Ancestry(session, Pieces.PieceStore.GetPiece(session, piece).Name);
        var subjects = reach.Lots.Select(lot => lot.Name)
            .Concat(reach.HoldsContainers ? reach.Stock.SelectMany(contents => contents.Lots).Select(lot => lot.Name).Distinct() : []).Concat(list.Mixes);
        var proof = ProveDrill.Decide(from, piece, seed, ancestry, list,
            subjects.Select(subject => ReconcileStore.Reconcile(session, subject, startMs)));
        proof.EndTime = Instants.ToTimestamp(NowMs);
        return Recalls.StartRecall.Decide(new(name, from, "", request.Starter, startMs, listMs, null), found, proof);
    }

    private static string AnyPoured(StudioSession session, string studio, string seed) => ReachStore.PouredCount(session, studio) is > 0 and var count
        ? ReachStore.PouredAt(session, studio, ProveDrill.Choose(seed, count))
        : throw Refusal.Precondition(Reasons.RecallEmpty, $"'{studio}' has no poured piece to begin at. Pour one first.", ("studio", studio));

    private void Tell(StudioTransaction tx, RecallRecord recall, string studio, RecallFindings found)
    {
        var notices = TellRecall.Notices(recall.Name, found.People, options, tx.Now.ToUnixMs());
        RecallStore.InsertNotices(tx, notices);
        ReminderStore.Save(tx, TellRecall.Decide(recall, studio, found.List, found.People, notices, tx.Now.ToUnixMs()));
    }

    /// <summary>What waits to be said to a person is not said any more.</summary>
    private static void Silence(StudioTransaction tx, NoticeRecord notice, string reason)
    {
        var changes = new ReminderChanges();
        foreach (var waiting in ReminderStore.About(tx, notice.Name).Where(reminder => reminder.State == Reminder.Types.State.Pending))
            changes.Drop(waiting, reason);
        ReminderStore.Save(tx, changes);
    }

    private static Recall View(StudioSession session, string name)
    {
        var (recall, notices) = (RecallStore.GetRecall(session, name), RecallStore.Notices(session, name));
        var view = recall.ToProto();
        if (recall is { Drill: false, IsOpen: true })
            view.List = ListRecall.Since(view.List,
                ListRecall.Decide(ReachStore.Load(session, recall.From), TraceStore.LoadPlaces(session, recall.Studio)));
        if (!recall.Drill) view.Notices.Add(notices.Select(notice => notice.ToProto()));
        view.Status = RecallProgress.Decide(recall, notices);
        view.Status.JoinedCount = view.List.Pieces.Count(piece => piece.Joined);
        view.Status.HandedOverSinceCount = view.List.Pieces.Count(piece => piece is { Where: Where.HandedOver, FoundWhere: not Where.Unspecified });
        return view;
    }

    private static Recall Brief(StudioSession session, RecallRecord recall)
    {
        var view = recall.ToProto();
        view.Status = RecallProgress.Decide(recall, RecallStore.Notices(session, recall.Name));
        return view;
    }

    private static string NewName(string studio, string chosenId) => ResourceKind.Recall.Under(studio, ResourceKind.Recall.IdOrNew(chosenId));

    private static HttpBody Body(string contentType, ByteString data) => new() { ContentType = contentType, Data = data };
}
