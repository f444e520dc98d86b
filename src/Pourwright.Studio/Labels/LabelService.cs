using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper.Labels;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Labels;

/// <summary>gRPC of labels.proto.</summary>
public sealed class LabelService(StudioReads reads, LabelOptions options, TimeProvider clock) : V1.LabelService.LabelServiceBase
{
    /// <summary>Twenty pages: a morning's work for the whole house.</summary>
    private const int MaxLabels = 240;

    public override Task<HttpBody> PrintLabels(PrintLabelsRequest request, ServerCallContext context)
    {
        Check(request);
        Label[] labels = reads.Read<Label[]>(session => [.. request.Names.Select(name => Load(session, name))]);
        return Task.FromResult(new HttpBody { ContentType = "application/pdf", Data = ByteString.CopyFrom(LabelSheet.Print(labels, clock.GetUtcNow())) });
    }

    private Label Load(StudioSession session, string name) => ResourceKind.Container.Matches(name)
        ? WriteLabel.Of(LotStore.GetContainer(session, name), options)
        : WriteLabel.Of(PieceStore.GetPiece(session, name), options);

    private static void Check(PrintLabelsRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Names.Count is >= 1 and <= MaxLabels, "names", $"must be 1 to {MaxLabels} names.", $"{request.Names.Count}");
        foreach (var (index, name) in request.Names.Take(MaxLabels).Index())
            checks.Require((ResourceKind.Container.Matches(name) || ResourceKind.Piece.Matches(name)) && ResourceNames.IsUnder(name, request.Parent),
                $"names[{index}]", $"must be a name like {ResourceKind.Container.PatternUnder(request.Parent)} or {ResourceKind.Piece.PatternUnder(request.Parent)}.", name);
        checks.ThrowIfAny();
    }
}
