using System.Globalization;
using Pourwright.Evidence.SupplierLabels;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.V1;

namespace Pourwright.Studio.Lots;

/// <summary>What the label on a can says, held against what is recorded of its lot.</summary>
public static class LotLabel
{
    public const string TextRule = "must be at most 500 characters, without control characters but FNC1 (0x1D).";

    private const int LengthMax = 500;

    /// <summary>What a scanner may send.</summary>
    public static bool IsText(string text) => text.Length <= LengthMax && text.All(letter => !char.IsControl(letter) || letter == ElementString.Fnc1);

    /// <summary>The label of which nothing speaks against being taken.</summary>
    /// <param name="year">Dates of two digits are read near it.</param>
    /// <exception cref="Refusal">LABEL_UNREADABLE.</exception>
    public static LabelReading Readable(string text, string fieldPath, int year)
    {
        var reading = SupplierLabel.Read(text, year);
        return reading.Faults.Count == 0 ? reading : throw Refusal.InvalidField(
            Reasons.LabelUnreadable, fieldPath, text.Replace(ElementString.Fnc1.ToString(), "<FNC1>", StringComparison.Ordinal),
            $"cannot be taken. {string.Join(' ', reading.Faults)}");
    }

    /// <summary>The lot with what its label adds: the GTIN, and the expiry date where none was given.</summary>
    /// <exception cref="Refusal">LABEL_UNREADABLE, LABEL_UNCONFIRMED, LABEL_MISMATCH.</exception>
    public static LotRecord Labelled(LotRecord lot, ReceiveLotRequest request, int year)
    {
        var reading = Readable(request.Lot.LabelText, "lot.label_text", year);
        return Kept(lot with { LabelText = request.Lot.LabelText }, reading, Confirmed(request, reading));
    }

    /// <summary>The reading whose lot a person found on the can; any where the label names no lot.</summary>
    private static LabelReading Confirmed(ReceiveLotRequest request, LabelReading reading)
    {
        LabelReading[] readings = [reading, .. reading.Others];
        var lots = string.Join(" or ", readings.Select(one => one.Lot).OfType<string>());
        if (!request.LabelConfirmed)
            throw Refusal.Precondition(Reasons.LabelUnconfirmed,
                $"The label says {(lots.Length == 0 ? "no lot" : $"lot {lots}")}{(reading.Gtin is { } gtin ? $" of {gtin}" : "")}. Compare it with the can, then send label_confirmed.",
                ("lots", lots), ("gtin", reading.Gtin ?? ""));
        return readings.FirstOrDefault(one => one.Lot is null || one.Lot == request.Lot.SupplierLotCode) ?? throw Refusal.Precondition(Reasons.LabelMismatch,
            $"The label says lot {lots}, the record {request.Lot.SupplierLotCode}. Look at the can and put the record right; where the label itself is wrong, leave it out.",
            ("lots", lots), ("supplier_lot_code", request.Lot.SupplierLotCode));
    }

    private static LotRecord Kept(LotRecord lot, LabelReading whole, LabelReading chosen)
    {
        var refuse = RefuseDate(chosen) is { } day ? Written(day) : null;
        Caution?[] cautions = [.. Doubts(whole), lot.ExpiryDate is null || refuse is null || lot.ExpiryDate == refuse ? null : Cautions.Of(Reasons.LabelExpiryDiffers,
            $"The label refuses it from {refuse} on, the record from {lot.ExpiryDate} on. Compare it with the can.", ("label_expiry_date", refuse), ("expiry_date", lot.ExpiryDate))];
        return lot with
        {
            Gtin = chosen.Gtin ?? "",
            ExpiryDate = lot.ExpiryDate ?? refuse,
            Cautions = MessageListJson.Write(cautions.OfType<Caution>()),
        };
    }

    /// <summary>The first day on which the studio refuses it: a label gives the last on which it may be used.</summary>
    public static DateOnly? RefuseDate(LabelReading reading) => reading.ExpiryDate?.AddDays(1);

    public static IEnumerable<Caution> Doubts(LabelReading reading) =>
        reading.ToConfirm.Select(remark => Cautions.Of(Reasons.LabelDoubtful, remark, ("remark", remark)));

    /// <summary>Whether this lot was received before; null where it was not.</summary>
    /// <param name="sameCode">Lots with the same code of a supplier's.</param>
    /// <param name="lot">The lot that comes in now; null where only its label is known.</param>
    public static Caution? CameBefore(IEnumerable<LotRecord> sameCode, string gtin, LotRecord? lot)
    {
        LotRecord[] earlier = [.. sameCode.Where(one => IsAlike(one, gtin, lot))];
        return earlier.Length == 0 ? null : Cautions.Of(Reasons.LotReceivedBefore,
            $"Lot {earlier[0].SupplierLotCode} came in before: {string.Join(", ", earlier.Select(one => $"{Amounts.Grams(one.ReceivedMassMg)} as {ResourceNames.IdOf(one.Name)}"))}. A further delivery is in order; one delivery recorded twice would be counted twice.",
            ("supplier_lot_code", earlier[0].SupplierLotCode), ("lots", string.Join(' ', earlier.Select(one => one.Name))),
            ("received_mass_mg", string.Join(' ', earlier.Select(one => one.ReceivedMassMg))));
    }

    public static string Written(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>Other deliveries of what a supplier made as one lot.</summary>
    /// <param name="sameCode">Lots with the same code of a supplier's.</param>
    /// <param name="lot">One of them.</param>
    public static IEnumerable<LotRecord> OtherDeliveries(IEnumerable<LotRecord> sameCode, LotRecord lot) =>
        sameCode.Where(one => one.Name != lot.Name && IsAlike(one, lot.Gtin, lot));

    private static bool IsAlike(LotRecord one, string gtin, LotRecord? lot) =>
        one.Gtin.Length > 0 && gtin.Length > 0 ? one.Gtin == gtin : lot is null || IsAlike(one, lot);

    /// <summary>Two suppliers may use the same code.</summary>
    private static bool IsAlike(LotRecord one, LotRecord other) => one.Part == other.Part && one.ResinSystem == other.ResinSystem
        && (one.Supplier.Length == 0 || other.Supplier.Length == 0 || one.Supplier.Equals(other.Supplier, StringComparison.OrdinalIgnoreCase));
}
