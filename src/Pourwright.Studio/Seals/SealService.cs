using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Format = Pourwright.V1.ExportSealRequest.Types.Format;

namespace Pourwright.Studio.Seals;

/// <summary>gRPC of seals.proto.</summary>
public sealed class SealService(WriteRequests writes, StudioReads reads) : V1.SealService.SealServiceBase
{
    public override Task<V1.Seal> CreateSeal(CreateSealRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).NewId("seal_id", request.SealId).ThrowIfAny();
        return writes.RunAsync(request, tx =>
        {
            SiteStore.GetStudio(tx, request.Parent);
            var name = ResourceKind.Seal.Under(request.Parent, ResourceKind.Seal.IdOrNew(request.SealId));
            var seal = SealStore.Save(tx, request.Parent, name);
            return seal.ToProto(SealStore.HeadsOf(tx, seal));
        }, context.CancellationToken);
    }

    public override Task<V1.Seal> GetSeal(GetSealRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.Seal).ThrowIfAny();
        return Task.FromResult(reads.Read(session =>
        {
            var seal = SealStore.GetSeal(session, request.Name);
            return seal.ToProto(SealStore.HeadsOf(session, seal));
        }));
    }

    public override Task<ListSealsResponse> ListSeals(ListSealsRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListSeals), request.Parent);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var (seals, next) = page.Cut(SealStore.ListSeals(session, request.Parent, page), seal => seal.HeadCount);
            return new ListSealsResponse { Seals = { seals.Select(seal => seal.ToProto([])) }, NextPageToken = next };
        }));
    }

    public override Task<HttpBody> ExportSeal(ExportSealRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("name", request.Name, ResourceKind.Seal)
            .Require(request.Format <= Format.Text, "format", "must be a format of a seal.", $"{(int)request.Format}")
            .ThrowIfAny();
        var seal = reads.Read(session =>
        {
            var record = SealStore.GetSeal(session, request.Name);
            return record.ToSeal(SealStore.HeadsOf(session, record));
        });
        var (type, text) = request.Format == Format.Text
            ? ("text/plain; charset=utf-8", SealPage.Write(request.Name, seal))
            : ("application/json", SealJson.Write(seal));
        return Task.FromResult(new HttpBody { ContentType = type, Data = ByteString.CopyFromUtf8(text) });
    }

    public override async Task VerifyEvidence(
        VerifyEvidenceRequest request, IServerStreamWriter<VerifyEvidenceResponse> responseStream, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).ThrowIfAny();
        var kept = KeptSeal(request);
        using var reading = reads.Open();
        SiteStore.GetStudio(reading, request.Parent);
        var check = new EvidenceCheck(reading, request.Parent, kept);
        foreach (var step in check.Steps()) await responseStream.WriteAsync(CheckWords.ToProto(step), context.CancellationToken);
        await responseStream.WriteAsync(CheckWords.ToProto(check.Summary()), context.CancellationToken);
    }

    private static Evidence.Sealing.Seal? KeptSeal(VerifyEvidenceRequest request)
    {
        if (request.KeptSeal.Length == 0) return null;
        try
        {
            var kept = SealJson.Read(request.KeptSeal);
            new FieldChecks().Require(
                kept.IsOf(request.Parent), "kept_seal", $"must be a seal of {request.Parent}.", kept.Heads.Count == 0 ? null : kept.Heads[0].Site).ThrowIfAny();
            return kept;
        }
        catch (FormatException e)
        {
            throw Refusal.Invalid("kept_seal", null, $"cannot be read. {e.Message}");
        }
    }
}
