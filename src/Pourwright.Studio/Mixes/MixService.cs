using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Mixes;

/// <summary>gRPC of mixes.proto.</summary>
public sealed class MixService(WriteRequests writes, StudioReads reads) : V1.MixService.MixServiceBase
{
    public override Task<Mix> RecordMix(RecordMixRequest request, ServerCallContext context)
    {
        Mixes.RecordMix.Check(request);
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Mix.Under(request.Parent, ResourceKind.Mix.IdOrNew(request.MixId));
            MixStore.RequireNewMix(tx, name);
            var (mix, containers) = Mixes.RecordMix.Decide(request, name, LoadFacts(tx, request.Mix));
            MixStore.InsertMix(tx, mix);
            LotStore.Save(tx, containers);
            return mix.ToProto(request.Mix.Draws.Select(draw => (draw.Container, draw.MassMg)), []);
        }, context.CancellationToken);
    }

    public override Task<Mix> GetMix(GetMixRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Mix).ThrowIfAny();
        return Task.FromResult(reads.Read(session => MixStore.ToProto(session, MixStore.GetMix(session, request.Name))));
    }

    public override Task<ListMixesResponse> ListMixes(ListMixesRequest request, ServerCallContext context)
    {
        var checks = new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).OptionalTime("start_time", request.StartTime);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        checks.ThrowIfAny();
        var fromMs = request.StartTime.ToUnixMsOrNull() ?? long.MinValue;
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListMixes), request.Parent, request.Site, $"{fromMs}");
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (mixes, next) = page.Cut(MixStore.ListMixes(session, request.Parent, request.Site, fromMs, page), mix => mix.Name);
            return new ListMixesResponse { Mixes = { mixes.Select(mix => MixStore.ToProto(session, mix)) }, NextPageToken = next };
        }));
    }

    public override Task<Mix> DiscardMix(DiscardMixRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Mix).Mass("mass_mg", request.MassMg).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            var left = Mixes.DiscardMix.Decide(MixStore.GetMix(tx, request.Name), request.MassMg);
            MixStore.InsertDiscard(tx, request.Name, request.MassMg);
            return MixStore.ToProto(tx, left);
        }, context.CancellationToken);
    }

    public override Task<Mix> CorrectMix(CorrectMixRequest request, ServerCallContext context)
    {
        Mixes.CorrectMix.Check(request);
        var caller = Caller.Of(context.GetHttpContext())!;
        return writes.RunAsync(request, tx =>
        {
            var facts = LoadCorrection(tx, request);
            TakingBack.Decide(caller, nameof(CorrectMix), request.Kind, facts.Mix.RecordMs, facts.NowMs);
            var decision = Mixes.CorrectMix.Decide(request, facts);
            MixStore.SaveCorrection(tx, decision);
            return MixStore.ToProto(tx, decision.Mix);
        }, context.CancellationToken);
    }

    private static CorrectMixFacts LoadCorrection(StudioTransaction tx, CorrectMixRequest request)
    {
        var mix = MixStore.GetMix(tx, request.Name);
        var draws = MixStore.RecordedDraws(tx, mix);
        var place = draws.Max(draw => draw.Place);
        var named = request.Draws.Select(draw => draw.RightContainer).Where(name => name.Length > 0);
        var (pours, leftMassMg) = MixStore.LeftFrom(tx, mix.Name);
        return new()
        {
            Mix = mix,
            System = ResinStore.GetResinSystem(tx, mix.ResinSystem),
            Draws = draws,
            Containers = draws.Select(draw => draw.Container).Concat(named).Distinct().ToDictionary(name => name, name => LoadDrawn(tx, name, place)),
            LeftMassMg = leftMassMg,
            Pours = pours,
            NowMs = tx.Now.ToUnixMs(),
        };
    }

    private static DrawnContainer LoadDrawn(StudioTransaction tx, string name, long place)
    {
        var then = new ContainerContents(LotStore.GetContainer(tx, name), LotStore.LotsIn(tx, name, place));
        var zone = SiteStore.GetSite(tx, then.Container.Site).Zone;
        return new(then, LotStore.Events(tx, name), ContainerExpiry.ExpireMs(then.Lots, zone, openMs: null, openedShelfLifeMs: null));
    }

    private static MixFacts LoadFacts(StudioTransaction tx, Mix mix) => new(
        SiteStore.GetSite(tx, mix.Site),
        ResinStore.GetResinSystem(tx, mix.ResinSystem),
        [.. mix.Draws.Select(draw => LotStore.GetContents(tx, draw.Container))],
        tx.Now.ToUnixMs());
}
