using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper.Labels;
using Pourwright.Studio.Pieces;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Format = Pourwright.V1.PrintLabelsRequest.Types.Format;

namespace Pourwright.Studio.Labels;

/// <summary>gRPC of labels.proto.</summary>
public sealed class LabelService(StudioReads reads, AddressOptions address, TimeProvider clock) : V1.LabelService.LabelServiceBase
{
    /// <summary>Twenty pages: a morning's work for the whole house.</summary>
    private const int MaxLabels = 240;

    /// <summary>What most label printers have; common practice, no source.</summary>
    private const int DotsPerInchDefault = 300;

    public override Task<HttpBody> PrintLabels(PrintLabelsRequest request, ServerCallContext context)
    {
        Check(request);
        Label[] labels = reads.Read<Label[]>(session => [.. request.Names.Select(name => Load(session, name))]);
        return Task.FromResult(request.Format == Format.Png
            ? Body("image/png", LabelPicture.Print(labels[0], request.ResolutionDotsPerInch == 0 ? DotsPerInchDefault : request.ResolutionDotsPerInch))
            : Body("application/pdf", LabelSheet.Print(labels, clock.GetUtcNow())));
    }

    public override Task<ParseSupplierLabelResponse> ParseSupplierLabel(ParseSupplierLabelRequest request, ServerCallContext context)
    {
        new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Text.Length > 0 && LotLabel.IsText(request.Text), "text", LotLabel.TextRule)
            .ThrowIfAny();
        var reading = LotLabel.Readable(request.Text, "text", clock.GetUtcNow().Year);
        return Task.FromResult(reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            string[] codes = [.. reading.Others.Prepend(reading).Select(one => one.Lot).OfType<string>().Distinct()];
            return ReadSupplierLabel.Decide(reading, [.. codes.SelectMany(code => LotStore.LotsOfSupplierCode(session, request.Parent, code))]);
        }));
    }

    private Label Load(StudioSession session, string name) => ResourceKind.Container.Matches(name)
        ? WriteLabel.Of(LotStore.GetContainer(session, name), address)
        : WriteLabel.Of(PieceStore.GetPiece(session, name), address);

    private static HttpBody Body(string contentType, byte[] data) => new() { ContentType = contentType, Data = ByteString.CopyFrom(data) };

    private static void Check(PrintLabelsRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Names.Count is >= 1 and <= MaxLabels, "names", $"must be 1 to {MaxLabels} names.", $"{request.Names.Count}")
            .Require(Enum.IsDefined(request.Format), "format", "must be FORMAT_PDF or FORMAT_PNG.", $"{request.Format}")
            .Require(request.Format != Format.Png || request.Names.Count == 1, "names", "must be one name for a PNG: ask once for each label.", $"{request.Names.Count}")
            .Require(request.ResolutionDotsPerInch is 0 or >= 150 and <= 600, "resolution_dots_per_inch", "must be 150 to 600; 0 means 300.", $"{request.ResolutionDotsPerInch}");
        foreach (var (index, name) in request.Names.Take(MaxLabels).Index())
            checks.Require((ResourceKind.Container.Matches(name) || ResourceKind.Piece.Matches(name)) && ResourceNames.IsUnder(name, request.Parent),
                $"names[{index}]", $"must be a name like {ResourceKind.Container.PatternUnder(request.Parent)} or {ResourceKind.Piece.PatternUnder(request.Parent)}.", name);
        checks.ThrowIfAny();
    }
}
