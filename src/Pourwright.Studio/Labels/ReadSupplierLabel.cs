using Pourwright.Evidence.SupplierLabels;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Refusals;
using Pourwright.V1;
using Date = Google.Type.Date;

namespace Pourwright.Studio.Labels;

/// <summary>Says what a supplier's label says, in every way it may be read, and what to look at before it is kept.</summary>
public static class ReadSupplierLabel
{
    /// <param name="sameCode">Lots of the studio with one of the codes that were read.</param>
    public static ParseSupplierLabelResponse Decide(LabelReading reading, IReadOnlyList<LotRecord> sameCode)
    {
        Caution?[] cautions = [.. LotLabel.Doubts(reading), LotLabel.CameBefore(sameCode, reading.Gtin ?? "", null)];
        return new()
        {
            Reading = Of(reading),
            OtherReadings = { reading.Others.Select(Of) },
            Cautions = { cautions.OfType<Caution>() },
        };
    }

    private static SupplierLabelReading Of(LabelReading reading)
    {
        var label = new SupplierLabelReading
        {
            Elements = { reading.Elements.Select(element => new SupplierLabelReading.Types.Element { ApplicationIdentifier = element.Ai, Value = element.Value }) },
            Gtin = reading.Gtin ?? "",
            SupplierLotCode = reading.Lot ?? "",
            Serial = reading.Serial ?? "",
            ExpiryDate = Day(reading.ExpiryDate),
            RefuseDate = Day(LotLabel.RefuseDate(reading)),
            BestBeforeDate = Day(reading.BestBeforeDate),
            ProductionDate = Day(reading.ProductionDate),
        };
        if (reading.NetMassMg is { } massMg) label.NetMassMg = massMg;
        return label;
    }

    private static Date? Day(DateOnly? day) => day is { } known ? new() { Year = known.Year, Month = known.Month, Day = known.Day } : null;
}
