using Google.Protobuf.Collections;
using Grpc.Core;
using Pourwright.Studio.Defects;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Suspects;

/// <summary>gRPC of suspects.proto. It only reads; engine and statistics run on the calling thread, after the view has ended.</summary>
public sealed class SuspectService(StudioReads reads, FindSuspects suspects) : V1.SuspectService.SuspectServiceBase
{
    private const int SitesMax = 100;

    public override Task<SuspectRanking> RankSuspects(RankSuspectsRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Kinds.Count > 0, "kinds", "must name at least one kind of defect.")
            .Require(request.Sites.Count <= SitesMax, "sites", $"must be up to {SitesMax}.", $"{request.Sites.Count}")
            .OptionalTime("start_time", request.StartTime)
            .OptionalTime("end_time", request.EndTime)
            .Require(request.StartTime is null || request.EndTime is null || request.StartTime < request.EndTime, "end_time", "must be later than start_time.", $"{request.EndTime}");
        CheckKinds(checks, request.Kinds);
        for (var i = 0; i < Math.Min(request.Sites.Count, SitesMax); i++) checks.Name($"sites[{i}]", request.Sites[i], ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
        var scope = new SuspectScope(request.Parent, [.. request.Sites.Distinct()], request.StartTime.ToUnixMsOrNull() ?? 0, request.EndTime.ToUnixMsOrNull() ?? long.MaxValue);
        return Task.FromResult(SuspectTerms.ToProto(suspects.Rank(scope, [.. request.Kinds.Distinct()])));
    }

    public override Task<PieceEvidence> GetPieceEvidence(GetPieceEvidenceRequest request, ServerCallContext context)
    {
        var isDefect = ResourceKind.Defect.Matches(request.Name);
        new FieldChecks()
            .Require(isDefect || ResourceKind.Piece.Matches(request.Name), "name",
                $"must be a name like {ResourceKind.Piece.Pattern} or {ResourceKind.Defect.Pattern}.", request.Name)
            .Require(Enum.IsDefined(request.Kind), "kind", "must be a kind of defect.", $"{(int)request.Kind}")
            .Require(!isDefect || request.Kind == Defect.Types.Kind.Unspecified, "kind", "must not be said beside a defect, which has one.", $"{request.Kind}")
            .ThrowIfAny();
        var (name, kind) = (request.Name, request.Kind);
        if (isDefect) (name, kind) = reads.Read(session => DefectStore.GetDefect(session, request.Name) is var defect ? (defect.Piece, defect.Kind) : default);
        var (piece, asked) = suspects.Examine(name, kind);
        return Task.FromResult(SuspectTerms.ToProto(piece, asked));
    }

    public override Task<SiteWatch> GetSiteWatch(GetSiteWatchRequest request, ServerCallContext context)
    {
        var isSite = ResourceKind.Site.Matches(request.Name);
        var checks = new FieldChecks()
            .Require(isSite || ResourceKind.Studio.Matches(request.Name), "name",
                $"must be a name like {ResourceKind.Site.Pattern} or {ResourceKind.Studio.Pattern}.", request.Name)
            .Require(Enum.IsDefined(request.Grouping), "grouping", "must be GROUPING_WEEK or GROUPING_CLASS.", $"{(int)request.Grouping}");
        CheckKinds(checks, request.Kinds);
        checks.ThrowIfAny();
        var studio = ResourceNames.StudioOf(request.Name);
        Defect.Types.Kind[] kinds = [.. request.Kinds.Distinct()];
        var watch = new WatchSites(reads.Read(session =>
        {
            SiteStore.GetStudio(session, studio);
            if (isSite) SiteStore.GetSite(session, request.Name);
            return SuspectStore.LoadInspections(session, new(studio, isSite ? [request.Name] : []));
        }), kinds);
        return Task.FromResult(new SiteWatch { Kinds = { kinds }, Sites = { watch.States().Select(state => watch.ToProto(state, request.Grouping)) } });
    }

    private static void CheckKinds(FieldChecks checks, RepeatedField<Defect.Types.Kind> kinds)
    {
        for (var i = 0; i < kinds.Count; i++)
            checks.Require(kinds[i] != Defect.Types.Kind.Unspecified && Enum.IsDefined(kinds[i]), $"kinds[{i}]", "must be a kind of defect.", $"{(int)kinds[i]}");
    }
}
