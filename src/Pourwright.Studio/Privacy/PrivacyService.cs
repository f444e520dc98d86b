using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Classes.Enrolments;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.Studio.StudentLinks;
using Pourwright.V1;

namespace Pourwright.Studio.Privacy;

/// <summary>gRPC of privacy.proto.</summary>
public sealed class PrivacyService(WriteRequests writes, StudioReads reads, KeyRing keys, StudentOptions options, TimeProvider clock) : V1.PrivacyService.PrivacyServiceBase
{
    private const int NoteLengthMax = 500;

    public override Task<HealthNote> SetHealthNote(SetHealthNoteRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("student", request.Student, ResourceKind.Student).Text("note", request.Note, NoteLengthMax, lengthMin: 0).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            StudentStore.GetStudent(tx, request.Student);
            PersonStore.SetNote(tx, request.Student, request.Note, request.Consent);
            // The answer is kept for a repeat, and the note is kept in one place alone.
            return new HealthNote { Student = request.Student, ConsentTime = PersonStore.GetNote(tx, request.Student).ConsentTime };
        }, context.CancellationToken);
    }

    public override Task<HealthNote> GetHealthNote(GetHealthNoteRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("student", request.Student, ResourceKind.Student).ThrowIfAny();
        var (caller, now) = (Caller.Of(context.GetHttpContext())!, clock.GetUtcNow());
        return Task.FromResult(reads.Read(session =>
        {
            StudentStore.GetStudent(session, request.Student);
            ReadHealthNote.Check(caller, PersonStore.Sessions(session, request.Student), now);
            return PersonStore.GetNote(session, request.Student);
        }));
    }

    public override Task<PersonRecord> ExportPerson(ExportPersonRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("student", request.Student, ResourceKind.Student).ThrowIfAny();
        return Task.FromResult(reads.Read(session => PersonStore.Export(session, request.Student)));
    }

    public override async Task<ErasePersonResponse> ErasePerson(ErasePersonRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("student", request.Student, ResourceKind.Student);
        for (var i = 0; i < request.Pieces.Count; i++) checks.Name($"pieces[{i}]", request.Pieces[i], ResourceKind.Piece);
        checks.ThrowIfAny();
        IReadOnlyList<byte[]> shut = [];
        var done = await writes.RunAsync(request, tx =>
        {
            (var answer, shut) = Erase(tx, request.Student, request.Pieces);
            return answer;
        }, context.CancellationToken);
        if (!request.ValidateOnly)
            foreach (var link in shut) keys.Forget(link);
        return done;
    }

    public override Task<ListErasureProposalsResponse> ListErasureProposals(ListErasureProposalsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListErasureProposals), request.Parent);
        var kept = TimeSpan.FromDays(options.ProposeErasureDaysAfterLastSession);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (due, next) = page.Cut(PersonStore.Due(session, request.Parent, (clock.GetUtcNow() - kept).ToUnixMs(), page.AfterText, page.Limit), one => one.Student);
            return new ListErasureProposalsResponse
            {
                ErasureProposals =
                {
                    due.Select(one => new ErasureProposal
                    {
                        Student = one.Student, LastSessionTime = Instants.ToTimestamp(one.LastMs), DueTime = Instants.ToTimestamp(one.LastMs + (long)kept.TotalMilliseconds),
                    }),
                },
                NextPageToken = next,
            };
        }));
    }

    /// <summary>Load, decide, save of one erasure.</summary>
    internal static (ErasePersonResponse Done, IReadOnlyList<byte[]> Links) Erase(StudioTransaction tx, string name, IReadOnlyList<string> said)
    {
        var student = StudentStore.GetStudent(tx, name);
        var facts = PersonStore.LoadErasure(tx, student);
        var theirs = ChooseErased.Decide(facts, said);
        StudentStore.MarkShared(tx, facts.Places.SelectMany(place => OwnPieces.Namesakes(place.Place, place.All)));
        return EraseStore.Erase(tx, student, theirs, [.. facts.Pieces.Except(theirs).Select(piece => piece.Name)]);
    }
}
