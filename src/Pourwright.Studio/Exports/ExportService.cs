using Google.Protobuf;
using Grpc.Core;
using Pourwright.Evidence.Epcis;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Correction = Pourwright.Evidence.Epcis.Correction;
using Format = Pourwright.V1.ExportRecordsRequest.Types.Format;

namespace Pourwright.Studio.Exports;

/// <summary>gRPC of exports.proto.</summary>
public sealed class ExportService(StudioReads reads, AddressOptions address) : V1.ExportService.ExportServiceBase
{
    private const int PartBytes = 64 * 1024;

    public override async Task ExportRecords(ExportRecordsRequest request, IServerStreamWriter<ExportRecordsResponse> responseStream, ServerCallContext context)
    {
        Check(request);
        var domain = Domain();
        var check = new CheckExport(new EpcisDocument(domain).Prefixes);
        using var document = Begun(request.Format, domain);
        reads.Read(session => Fill(session, request, domain, document, check, context.CancellationToken));
        if (check.HasSeenNothing)
            throw Refusal.Precondition(Reasons.NothingToExport, "Nothing was recorded of what was asked for. Choose a longer time, or another site, lot or piece.", ("parent", request.Parent));
        long byteSize = 0;
        foreach (var part in document.Parts())
            byteSize += await SendAsync(part, responseStream, context.CancellationToken);
        await responseStream.WriteAsync(new() { Summary = check.Summary(document.ContentType, byteSize) }, context.CancellationToken);
    }

    public override Task<ExplainPersonResponse> ExplainPerson(ExplainPersonRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Studio).Text("person_id", request.PersonId, 80).ThrowIfAny();
        var names = reads.Read(session =>
        {
            SiteStore.GetStudio(session, request.Parent);
            var terms = Terms(session, request.Parent);
            return ExportStore.Persons(session, request.Parent).Where(name => name.Length > 0 && terms.PersonId(name) == request.PersonId).ToList();
        });
        return names.Count > 0
            ? Task.FromResult(new ExplainPersonResponse { DisplayNames = { names } })
            : throw Refusal.NotFound(Reasons.PersonNotFound, "Person", request.PersonId);
    }

    /// <summary>Everything in one view, so that all of it speaks of the same moment.</summary>
    private static bool Fill(StudioSession session, ExportRecordsRequest request, TraceDomain domain, ExportDocument document, CheckExport check, CancellationToken stop)
    {
        SiteStore.GetStudio(session, request.Parent);
        var (scope, events) = (Scope(session, request), new EpcisDocument(domain));
        foreach (var record in Records(session, scope))
        {
            stop.ThrowIfCancellationRequested();
            var told = events.Event(record);
            check.Add(told);
            document.Add(record, told);
        }
        foreach (var correction in Corrections(session, scope))
        {
            var told = events.Event(correction);
            check.AddDeclaration(told);
            document.AddCorrection(correction, told);
        }
        return true;
    }

    /// <summary>What was recorded wrongly within the time and the site, in the order in which it was said.</summary>
    private static IEnumerable<Correction> Corrections(StudioSession session, ExportScope scope)
    {
        var terms = Terms(session, scope.Studio);
        return ExportStore.Corrections(session, scope).SelectMany(row => ResourceKind.Mix.Matches(row.Subject)
                ? TellCorrections.OfMix(row, ExportStore.Draws(session, row.Subject, row.Sequence), ExportStore.Draws(session, row.Subject, row.Sequence + 1), terms)
                : [TellCorrections.OfPour(row, ExportStore.Pour(session, row.Subject), row.RightPour is { } right ? ExportStore.Pour(session, right) : null, terms)])
            .Where(correction => correction.Wrong.Time.ToUnixMs() >= scope.FromMs && correction.Wrong.Time.ToUnixMs() < scope.ToMs)
            .Where(correction => scope.Site is null || correction.Wrong.Location?.Resource == scope.Site);
    }

    /// <summary>What happened, by time. Where one thing happens in an instant, what makes it possible stands first.</summary>
    private static IEnumerable<TraceRecord> Records(StudioSession session, ExportScope scope)
    {
        var terms = Terms(session, scope.Studio);
        return TellRecords.Merged(
            ExportStore.Lots(session, scope).Select(row => TellMaterials.Received(row, terms)),
            TellRecords.Neighbours(ExportStore.Materials(session, scope), row => row.Deed).SelectMany(deed => TellMaterials.Of(deed, terms)),
            ExportStore.Pours(session, scope).Select(row => TellPieces.Poured(row, terms)),
            ExportStore.Cures(session, scope).Select(row => TellPieces.Cured(row, terms)),
            ExportStore.Checks(session, scope).Select(row => TellPieces.Seen(row, terms)),
            ExportStore.Defects(session, scope).Select(row => TellPieces.Faulty(row, terms)),
            ExportStore.PieceHolds(session, scope).Select(row => TellPieces.Kept(row, terms)),
            ExportStore.Waste(session, scope).Select(row => TellPieces.Wasted(row, terms)))
            .Where(record => scope.Site is null || record.Location?.Resource == scope.Site);
    }

    private static ExportScope Scope(StudioSession session, ExportRecordsRequest request)
    {
        if (request.Site.Length > 0) SiteStore.GetSite(session, request.Site);
        var scope = new ExportScope(
            request.Parent, request.StartTime.ToUnixMsOrNull() ?? long.MinValue, request.EndTime.ToUnixMsOrNull() ?? long.MaxValue,
            request.Site.Length == 0 ? null : request.Site);
        return request.Lot.Length > 0 ? ExportStore.ScopeOfLot(session, scope, request.Lot)
            : request.Piece.Length > 0 ? ExportStore.ScopeOfPiece(session, scope, request.Piece)
            : scope;
    }

    private static ExportTerms Terms(StudioSession session, string studio) => new(studio, ExportStore.Key(session), ExportStore.Zones(session, studio));

    private static ExportDocument Begun(Format format, TraceDomain domain) => format switch
    {
        Format.Epcis => new EpcisExport(new(domain)),
        Format.Prov => new ProvExport(domain),
        _ => new SheetExport(domain),
    };

    private static async Task<long> SendAsync(Stream part, IServerStreamWriter<ExportRecordsResponse> to, CancellationToken stop)
    {
        var (bytes, sent) = (new byte[PartBytes], 0L);
        for (int length; (length = await part.ReadAtLeastAsync(bytes, PartBytes, throwOnEndOfStream: false, stop)) > 0; sent += length)
            await to.WriteAsync(new() { Data = ByteString.CopyFrom(bytes, 0, length) }, stop);
        return sent;
    }

    /// <exception cref="Refusal">STUDIO_ADDRESS_MISSING.</exception>
    private TraceDomain Domain()
    {
        if (address.Address is not { } uri)
            throw AddressMissing("The studio has no address of its own, and an export names things by it.");
        try
        {
            return new(uri);
        }
        catch (ArgumentException unusable)
        {
            throw AddressMissing(unusable.Message);
        }
    }

    private Refusal AddressMissing(string cause) => Refusal.Precondition(Reasons.StudioAddressMissing,
        $"{cause} Start the node with Labels:Address, such as https://studio.example.org, and let it stand: labels and exports go on using it.",
        ("address", $"{address.Address}"));

    private static void Check(ExportRecordsRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .Require(request.Format != Format.Unspecified && Enum.IsDefined(request.Format), "format", "must be FORMAT_EPCIS, FORMAT_PROV or FORMAT_CSV.", $"{request.Format}")
            .Require(request.Lot.Length == 0 || request.Piece.Length == 0, "piece", "must be empty where a lot is named: ask for one of the two.", request.Piece);
        if (request.Lot.Length > 0) checks.Name("lot", request.Lot, ResourceKind.Lot, request.Parent);
        if (request.Piece.Length > 0) checks.Name("piece", request.Piece, ResourceKind.Piece, request.Parent);
        if (request.Site.Length > 0) checks.Name("site", request.Site, ResourceKind.Site, request.Parent);
        checks.OptionalTime("start_time", request.StartTime);
        checks.OptionalTime("end_time", request.EndTime);
        checks.ThrowIfAny();
    }
}
