using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.Studio.Storage;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Lots;

/// <summary>Takes a supplier's lot in, with the containers it came in.</summary>
public static class ReceiveLot
{
    private const int ContainersMax = 200;

    /// <summary>Of an expiry date: further away it is mistyped, and at the ends of the calendar no zone has its midnight.</summary>
    private const int YearMin = 2000, YearMax = 2100;

    /// <exception cref="Refusal">FIELD_INVALID with every field that breaks its rule.</exception>
    public static void Check(ReceiveLotRequest request)
    {
        var checks = new FieldChecks()
            .Name("parent", request.Parent, ResourceKind.Studio)
            .NewId("lot_id", request.LotId)
            .Require(request.Containers.Count is >= 1 and <= ContainersMax, "containers",
                $"must be 1 to {ContainersMax} containers.", $"{request.Containers.Count}");
        CheckLot(checks, request.Lot ?? new(), request.Parent);
        for (var i = 0; i < request.Containers.Count; i++) CheckReceipt(checks, request, i);
        checks.ThrowIfAny();
    }

    /// <summary>The rows of a request that passed <see cref="Check"/>. Names and sites stand in the order of its containers.</summary>
    /// <param name="before">Lots of the studio with the same code of the supplier's.</param>
    /// <exception cref="Refusal">TIME_IN_FUTURE, LABEL_UNREADABLE, LABEL_UNCONFIRMED, LABEL_MISMATCH.</exception>
    public static (LotRecord Lot, IReadOnlyList<ContainerChange> Containers) Decide(
        ReceiveLotRequest request, string name, IReadOnlyList<string> containerNames, IReadOnlyList<SiteRecord> sites, IReadOnlyList<LotRecord> before, long nowMs)
    {
        var record = Unlabelled(request, name, nowMs);
        if (request.Lot.LabelText.Length > 0)
            record = LotLabel.Labelled(record, request, Instants.FromUnixMs(record.ReceiveMs).Year);
        Caution?[] cautions = [.. MessageListJson.Read<Caution>(record.Cautions), LotLabel.CameBefore(before, record.Gtin, record)];
        record = record with { Cautions = MessageListJson.Write(cautions.OfType<Caution>()) };
        return (record, [.. request.Containers.Select((receipt, i) => Received(record, receipt, containerNames[i], sites[i]))]);
    }

    private static LotRecord Unlabelled(ReceiveLotRequest request, string name, long nowMs)
    {
        var lot = request.Lot;
        return new()
        {
            Name = name,
            Studio = request.Parent,
            Part = lot.Part,
            ResinSystem = lot.ResinSystem.Length == 0 ? null : lot.ResinSystem,
            Supplier = lot.Supplier,
            SupplierLotCode = lot.SupplierLotCode,
            Content = lot.Content,
            ExpiryDate = Day(lot.ExpiryDate) is { } day ? LotLabel.Written(day) : null,
            ReceiveMs = EventTime.OrNow(lot.ReceiveTime, nowMs, "lot.receive_time"),
            ReceivedMassMg = request.Containers.Sum(container => container.ReceivedMassMg),
        };
    }

    private static ContainerChange Received(LotRecord lot, ContainerReceipt receipt, string name, SiteRecord site) =>
        new ContainerChange(new ContainerRecord
        {
            Name = name,
            Studio = lot.Studio,
            Site = site.Name,
            Part = lot.Part,
            ResinSystem = lot.ResinSystem,
            State = Container.Types.State.Sealed,
            ReceivedMassMg = receipt.ReceivedMassMg,
            RemainingMassMg = 0,
            ExpireMs = ContainerExpiry.ExpireMs([lot], site.Zone, null, null),
        }).With(new ContainerEventRecord
        {
            Container = name,
            Kind = ContainerEventKinds.Received,
            MassMg = receipt.ReceivedMassMg,
            Lot = lot.Name,
            Site = site.Name,
            EventMs = lot.ReceiveMs,
        });

    private static void CheckLot(FieldChecks checks, Lot lot, string parent)
    {
        checks
            .Require(lot.Part is Part.A or Part.B or Part.Pigment, "lot.part", "must be PART_A, PART_B or PART_PIGMENT.", $"{lot.Part}")
            .Text("lot.supplier", lot.Supplier, 80, 0)
            .Text("lot.supplier_lot_code", lot.SupplierLotCode, 80)
            .Text("lot.content", lot.Content, 80, 0)
            .Require(lot.ExpiryDate is null || Day(lot.ExpiryDate) is not null, "lot.expiry_date",
                $"must be a whole date of the calendar from {YearMin} to {YearMax}, or be left out.", ShownDate(lot.ExpiryDate))
            .OptionalTime("lot.receive_time", lot.ReceiveTime)
            .Require(LotLabel.IsText(lot.LabelText), "lot.label_text", LotLabel.TextRule);
        if (lot.Part == Part.Pigment)
            checks.Require(lot.ResinSystem.Length == 0, "lot.resin_system", "must be empty for pigment: it belongs to no resin system.", lot.ResinSystem);
        else
            checks.Name("lot.resin_system", lot.ResinSystem, ResourceKind.ResinSystem, parent);
    }

    private static void CheckReceipt(FieldChecks checks, ReceiveLotRequest request, int i)
    {
        var receipt = request.Containers[i];
        checks
            .NewId($"containers[{i}].container_id", receipt.ContainerId)
            .Require(receipt.ContainerId.Length == 0 || !request.Containers.Take(i).Any(other => other.ContainerId == receipt.ContainerId),
                $"containers[{i}].container_id", "stands twice in this request; each container has a code of its own.", receipt.ContainerId)
            .Name($"containers[{i}].site", receipt.Site, ResourceKind.Site, request.Parent)
            .Mass($"containers[{i}].received_mass_mg", receipt.ReceivedMassMg);
    }

    private static DateOnly? Day(Date? date) =>
        date is { Year: >= YearMin and <= YearMax, Month: >= 1 and <= 12, Day: >= 1 } && date.Day <= DateTime.DaysInMonth(date.Year, date.Month)
            ? new DateOnly(date.Year, date.Month, date.Day)
            : null;

    private static string? ShownDate(Date? date) => date is null ? null : $"{date.Year:0000}-{date.Month:00}-{date.Day:00}";
}
