using System.Globalization;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>What a supplier's label says, and what a person should look at before it is kept.</summary>
/// <param name="Faults">Not empty where the label cannot be taken: then nothing of it should be.</param>
/// <param name="ToConfirm">Readable, and yet perhaps not what the can shows.</param>
public sealed record LabelReading(IReadOnlyList<LabelElement> Elements, IReadOnlyList<string> Faults, IReadOnlyList<string> ToConfirm, int CurrentYear)
{
    /// <summary>What the label may say as well, where the separator after a lot or a serial was lost.</summary>
    public IReadOnlyList<LabelReading> Others { get; init; } = [];

    /// <summary>14 digits; of the contents where the label is that of a box.</summary>
    public string? Gtin => Value("01") ?? Value("02");
    public string? Lot => Value("10");
    public string? Serial => Value("21");
    public DateOnly? ExpiryDate => Date("17");
    public DateOnly? BestBeforeDate => Date("15");
    public DateOnly? SellByDate => Date("16");
    public DateOnly? ProductionDate => Date("11");
    public DateOnly? PackagingDate => Date("13");

    /// <summary>Pieces, or cans in a box.</summary>
    public int? Count => (Value("30") ?? Value("37")) is { } count ? int.Parse(count, CultureInfo.InvariantCulture) : null;

    /// <summary>In mg, of identifier 310n: six digits of kilograms, n of them decimals.</summary>
    public long? NetMassMg => Elements.FirstOrDefault(element => element.Ai.StartsWith("310", StringComparison.Ordinal)) is { } mass
        ? long.Parse(mass.Value, CultureInfo.InvariantCulture) * (long)Math.Pow(10, 6 - (mass.Ai[3] - '0'))
        : null;

    private string? Value(string ai) => Elements.FirstOrDefault(element => element.Ai == ai)?.Value;

    private DateOnly? Date(string ai) => Value(ai) is { } value ? LabelDate.Of(value, CurrentYear) : null;
}

/// <summary>Reads what a scanner sent or a person typed from a supplier's label.</summary>
public static class SupplierLabel
{
    /// <summary>Data Matrix, QR, Code 128 and DataBar that hold GS1 elements: symbology identifiers of ISO/IEC 15424, from memory.</summary>
    private static readonly string[] ElementPrefixes = ["]d2", "]Q3", "]C1", "]e0"];

    private static readonly int[] GtinLengths = [8, 12, 13, 14];

    /// <summary>Never throws: what cannot be read is told in <see cref="LabelReading.Faults"/>.</summary>
    /// <param name="currentYear">Dates of two digits are read near it.</param>
    public static LabelReading Read(string text, int currentYear)
    {
        try
        {
            return Judged(Cut(text.Trim(' ', '\r', '\n', '\t')), currentYear);
        }
        catch (FormatException broken)
        {
            return new([], [broken.Message], [], currentYear);
        }
    }

    private static IReadOnlyList<LabelElement> Cut(string text)
    {
        if (text.StartsWith(ElementString.Fnc1))
            return ElementString.Scanned(text[1..]);
        if (ElementPrefixes.Any(prefix => text.StartsWith(prefix, StringComparison.Ordinal)))
            return ElementString.Scanned(text[3..].TrimStart(ElementString.Fnc1));
        var plain = text.StartsWith(']') && text.Length > 3 ? text[3..] : text;
        if (DigitalLink.Looks(plain))
            return DigitalLink.Elements(plain);
        if (plain.StartsWith('('))
            return ElementString.Bracketed(plain);
        if (GtinLengths.Contains(plain.Length) && plain.All(char.IsAsciiDigit))
            return [new("01", plain.PadLeft(14, '0'))];
        throw new FormatException($"\"{plain}\" is no GS1 code: type it with brackets, such as (01)09506000134352(10)A2602-17, or let the scanner send its symbology prefix.");
    }

    private static LabelReading Judged(IReadOnlyList<LabelElement> elements, int currentYear)
    {
        string[] faults = [.. elements.SelectMany(element => ApplicationIdentifiers.Of(element.Ai) is { } known && known.Fault(element.Value, currentYear) is { } fault
            ? new[] { $"{element}, {known.Title}: {fault}." }
            : [])];
        return faults.Length > 0
            ? new(elements, faults, [], currentYear)
            : new(elements, [], [.. LabelPairings.Remarks(elements), .. SwallowedElements.Remarks(elements, currentYear)], currentYear)
            {
                Others = [.. SwallowedElements.Readings(elements, currentYear).Select(other => new LabelReading(other, [], [], currentYear))],
            };
    }
}
