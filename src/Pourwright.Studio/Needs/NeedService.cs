using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Paper;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>gRPC of needs.proto. It only reads; engine and solver run on the calling thread, after the view has ended.</summary>
public sealed class NeedService(StudioReads reads, ResinModels models, TimeProvider clock) : V1.NeedService.NeedServiceBase
{
    public override Task<ResinNeed> GetResinNeed(GetResinNeedRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).Wood(request).Mixing(request.Conditions).ThrowIfAny();
        var facts = reads.Read(session => NeedStore.LoadClass(session, request.Name, models));
        return Task.FromResult(DescribeNeed.Decide(
            request.HasWoodMassMg ? facts with { Wood = (request.WoodMassMg, request.WoodDensityKgPerM3) } : facts, MixShape.Terms(request.Conditions)));
    }

    public override Task<LotPlan> PlanLots(PlanLotsRequest request, ServerCallContext context)
    {
        CheckPlace(request.Parent, request.Site);
        var window = Needs.PlanLots.Window(request.StartTime, request.EndTime, request.ExpiryMargin, clock.GetUtcNow().ToUnixMs());
        var (_, stocks, cautions) = Plan(request.Parent, request.Site, window, context);
        return Task.FromResult(Needs.PlanLots.Decide(stocks, request.Site, window, cautions));
    }

    public override Task<ListShortfallsResponse> ListShortfalls(ListShortfallsRequest request, ServerCallContext context)
    {
        CheckPlace(request.Parent, request.Site);
        var nowMs = clock.GetUtcNow().ToUnixMs();
        var leadDays = FindShortfalls.LeadDays(request.LeadDuration);
        var window = Needs.PlanLots.Window(request.StartTime, request.EndTime, request.ExpiryMargin, nowMs);
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListShortfalls), request.Parent, request.Site, $"{request.StartTime}", $"{request.EndTime}");
        var (needs, stocks, _) = Plan(request.Parent, request.Site, window, context);
        var found = FindShortfalls.Decide([.. stocks.Where(stock => request.Site.Length == 0 || stock.Site == request.Site)], leadDays, needs.Zones, nowMs);
        var (items, next) = page.Cut(After(found, page, Key), Key);
        return Task.FromResult(new ListShortfallsResponse { Shortfalls = { items }, NextPageToken = next });

        static PageKey Key(Shortfall shortfall) => new(shortfall.PourTime.ToUnixMs(), $"{shortfall.Site} {shortfall.ResinSystem} {shortfall.Part}");
    }

    public override Task<ListLotClassesResponse> ListLotClasses(ListLotClassesRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("parent", request.Parent, ResourceKind.Lot).ThrowIfAny();
        var window = Needs.PlanLots.Window(null, null, null, clock.GetUtcNow().ToUnixMs());
        var page = Paging.Read(request.PageSize, request.PageToken, nameof(ListLotClasses), request.Parent);
        var needs = reads.Read(session =>
        {
            LotStore.GetLot(session, request.Parent);
            return NeedStore.LoadStudio(session, ResourceNames.StudioOf(request.Parent), window, models);
        });
        var found = FindLotClasses.Decide(needs.Facts(window, []), request.Parent, context.CancellationToken);
        var (items, next) = page.Cut(After(found, page, Key), Key);
        return Task.FromResult(new ListLotClassesResponse { Classes = { items }, NextPageToken = next });

        static PageKey Key(LotClass found) => new(found.PourTime.ToUnixMs(), found.CastingClass);
    }

    public override Task<HttpBody> PrintMixSheet(PrintMixSheetRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).Mixing(request.Conditions).ThrowIfAny();
        var (now, terms) = (clock.GetUtcNow(), MixShape.Terms(request.Conditions));
        var (facts, pour, names) = reads.Read(session =>
        {
            var pour = NeedStore.FindPour(session, request.Name);
            return (NeedStore.LoadClass(session, request.Name, models), pour, NeedStore.Names(session, request.Name, pour?.Site));
        });
        var asked = facts.Facts(terms);
        var resin = NeedResin.Decide(asked);
        var lots = pour is not null && pour.EndMs > now.ToUnixMs() ? LotsOf(request.Name, pour.StartMs, now, context) : ([], new Dictionary<string, string>());
        return Task.FromResult(Printed(request.Format, MixSheet.Write(new()
        {
            Studio = names.Studio,
            Class = names.Class,
            Site = names.Site.DisplayName,
            Zone = names.Site.Zone,
            PourMs = pour?.StartMs,
            Pieces = facts.Pieces,
            Resin = resin,
            WorkingHours = [.. resin.Batches.Select(batch => BatchTimes.WorkingHours(facts.ModelOf(batch), batch.Parts.MassMg, terms))],
            Terms = terms,
            Lots = lots.Lots,
            Codes = lots.Codes,
            Cautions = [.. lots.Lots.SelectMany(each => each.Cautions), .. DescribeNeed.Cautions(asked)],
        }, now)));
    }

    public override Task<HttpBody> PrintRunSheet(PrintRunSheetRequest request, ServerCallContext context)
    {
        new FieldChecks().Name("name", request.Name, ResourceKind.CastingClass).ThrowIfAny();
        var now = clock.GetUtcNow();
        var (day, names) = reads.Read(session =>
        {
            var (machine, day) = NeedStore.LoadMachineDay(session, request.Name, now);
            return (day, NeedStore.Names(session, request.Name, machine.Site));
        });
        return Task.FromResult(Printed(request.Format, RunSheet.Write(new()
        {
            Studio = names.Studio,
            Class = names.Class,
            Site = names.Site.DisplayName,
            Zone = names.Site.Zone,
            Day = day,
            Plan = RunDay.Plan(day, context.CancellationToken),
        }, now)));
    }

    private (StudioNeeds Needs, IReadOnlyList<SiteStock> Stocks, IReadOnlyList<Caution> Cautions) Plan(
        string studio, string site, NeedWindow window, ServerCallContext context)
    {
        var needs = reads.Read(session =>
        {
            if (site.Length > 0) Sites.SiteStore.GetSite(session, site);
            return NeedStore.LoadStudio(session, studio, window, models);
        });
        List<Caution> cautions = [];
        return (needs, SiteStock.Plans(needs.Facts(window, cautions), context.CancellationToken), cautions);
    }

    private (IReadOnlyList<ClassLots> Lots, IReadOnlyDictionary<string, string> Codes) LotsOf(string name, long pourMs, DateTimeOffset now, ServerCallContext context)
    {
        var startMs = Math.Min(now.ToUnixMs(), pourMs);
        var window = new NeedWindow(startMs, Math.Max(startMs + Needs.PlanLots.WindowMsDefault, pourMs + 1), 0);
        var (needs, stocks, _) = Plan(ResourceNames.StudioOf(name), "", window, context);
        return (
            [.. stocks.SelectMany(Needs.PlanLots.ClassLots).Where(lots => lots.CastingClass == name)],
            needs.Containers.SelectMany(contents => contents.Lots).DistinctBy(lot => lot.Name).ToDictionary(lot => lot.Name, lot => lot.SupplierLotCode));
    }

    private static void CheckPlace(string studio, string site)
    {
        var checks = new FieldChecks().Name("parent", studio, ResourceKind.Studio);
        if (site.Length > 0) checks.Name("site", site, ResourceKind.Site, studio);
        checks.ThrowIfAny();
    }

    private static IReadOnlyList<T> After<T>(IReadOnlyList<T> found, PageRequest page, Func<T, PageKey> key) => page.After is not { } after
        ? found
        : [.. found.SkipWhile(item => (key(item).Number, key(item).Text).CompareTo((after.Number, after.Text)) <= 0)];

    private static HttpBody Printed(SheetFormat format, Report report)
    {
        new FieldChecks().Require(Enum.IsDefined(format), "format", "must be SHEET_FORMAT_TEXT or SHEET_FORMAT_PDF.", $"{format}").ThrowIfAny();
        return format == SheetFormat.Pdf
            ? new() { ContentType = "application/pdf", Data = ByteString.CopyFrom(ReportPdf.Print(report)) }
            : new() { ContentType = "text/plain; charset=utf-8", Data = ByteString.CopyFromUtf8(ReportText.Print(report)) };
    }
}
