using System.Globalization;
using System.Text.RegularExpressions;

namespace Pourwright.Evidence.SupplierLabels;

/// <summary>The application identifiers this reads: those a can, its box or its pallet may carry, and every one that measures.</summary>
/// <remarks>
/// Facts of the GS1 Barcode Syntax Dictionary, in a notation of our own: identifier or range; <c>*</c> where its length is
/// predefined; parts of the value (see <see cref="ValuePart"/>); groups of which one is needed; what it excludes; qualifiers of a
/// Digital Link. Other identifiers, such as postal ones and prices other than 392n, are refused as unknown.
/// </remarks>
public static partial class ApplicationIdentifiers
{
    private const string Table = """
        00        | * | n18c            |                    |                        | -            | shipping container
        01        | * | n14c            |                    | 02 255 37              | 22 10 21/235 | GTIN
        02        | * | n14c            | 37                 |                        |              | GTIN of contents
        10        |   | x..20           | 01 02 8006 8026    |                        |              | lot
        11        | * | n6d             | 01 02 8006 8026    |                        |              | production date
        12        | * | n6d             | 8020               |                        |              | due date
        13        | * | n6d             | 01 02 8006 8026    |                        |              | packaging date
        15        | * | n6d             | 01 02 8006 8026    |                        |              | best before
        16        | * | n6d             | 01 02 8006 8026    |                        |              | sell by
        17        | * | n6d             | 01 02 255 8006 8026 |                       |              | expiry
        20        | * | n2              | 01 02 8006 8026    |                        |              | variant
        21        |   | x..20           | 01 8006            | 235                    |              | serial
        22        |   | x..20           | 01                 |                        |              | consumer variant
        235       |   | x..28           | 01                 |                        |              | third-party serial
        240-241   |   | x..30           | 01 02 8006 8026    |                        |              | additional number
        242       |   | n..6            | 01 02 8006 8026    |                        |              | made-to-order variant
        243       |   | x..20           | 01                 |                        |              | packaging component
        250       |   | x..30           | 01 8006, 21        |                        |              | secondary serial
        251       |   | x..30           | 01 8006            |                        |              | source
        253       |   | n13c [x..17]    |                    |                        | -            | document
        254       |   | x..20           | 414                |                        |              | location extension
        255       |   | n13c [n..12]    |                    | 01 02 415 8006 8020 8026 | -          | coupon
        30        |   | n..8            | 01 02              |                        |              | variable count
        310-316   | * | n6              | 01 02              | self                   |              | net measure
        320-329   | * | n6              | 01 02              | self                   |              | net measure
        330-336   | * | n6              | 00 01              | self                   |              | gross measure
        337       | * | n6              | 01                 | self                   |              | kg per square metre
        340-349   | * | n6              | 00 01              | self                   |              | gross measure
        350-352   | * | n6              | 01 02              | self                   |              | net measure
        353-355   | * | n6              | 00 01              | self                   |              | gross measure
        356-357   | * | n6              | 01 02              | self                   |              | net measure
        360-361   | * | n6              | 01 02              | self                   |              | net measure
        362-363   | * | n6              | 00 01              | self                   |              | gross measure
        364-366   | * | n6              | 01 02              | self                   |              | net measure
        367-369   | * | n6              | 00 01              | self                   |              | gross measure
        37        |   | n..8            | 00, 02 8026        |                        |              | count of contents
        392       |   | n..15           | 01, 30 31 32 35 36 | self                   |              | price
        400       |   | x..30           |                    |                        |              | order number
        401       |   | x..30           |                    |                        | -            | consignment
        402       |   | n17c            |                    |                        | -            | shipment
        403       |   | x..30           | 00                 |                        |              | route
        410-413   | * | n13c            |                    |                        |              | party or place
        414       | * | n13c            |                    |                        | 254          | place
        415       | * | n13c            | 8020               |                        | 8020         | invoicing party
        416       | * | n13c            |                    |                        |              | place of production
        417       | * | n13c            |                    |                        | -            | party
        420       |   | x..20           |                    |                        |              | post code
        422       |   | n3              | 01 02 8006 8026    |                        |              | country of origin
        8003      |   | n1z n13c [x..16] |                   |                        | -            | returnable asset
        8004      |   | x..30           |                    |                        | -            | asset
        8006      |   | n14c n4t        |                    |                        | 22 10 21     | piece of an item
        8010      |   | y..30           |                    |                        | 8011         | component
        8011      |   | n..12           | 8010               |                        |              | component serial
        8017-8018 |   | n18c            |                    |                        | 8019         | service relation
        8019      |   | n..10           | 8017 8018          |                        |              | service instance
        8020      |   | x..25           | 415                |                        |              | payment reference
        8026      |   | n14c n4t        | 37                 |                        |              | piece of contents
        90        |   | x..30           |                    |                        |              | agreed between partners
        91-99     |   | x..90           |                    |                        |              | internal
        """;

    private static readonly Dictionary<string, ApplicationIdentifier> ByNumber =
        Table.Split('\n', StringSplitOptions.RemoveEmptyEntries).SelectMany(Row).ToDictionary(row => row.Ai);

    /// <summary>Three digits and the number of decimals, 0 to 5; a price may have up to 9.</summary>
    private static readonly HashSet<string> WithDecimals = [.. ByNumber.Keys.Where(ai => ai.Length == 4 && ai[3] == 'n')];

    /// <summary>Of the identifier <paramref name="ai"/>, such as 10 or 3103; null where it is not known here.</summary>
    public static ApplicationIdentifier? Of(string ai) => ByNumber.GetValueOrDefault(Family(ai));

    /// <summary>The identifier at the start of the text; null where none known here stands there.</summary>
    public static string? AtStart(ReadOnlySpan<char> text)
    {
        for (var length = 2; length <= Math.Min(4, text.Length); length++)
            if (text[..length].ToString() is var ai && Of(ai) is not null)
                return ai;
        return null;
    }

    /// <summary>310n for 3103: identifiers that differ in their decimals alone.</summary>
    public static string Family(string ai) =>
        ai.Length == 4 && WithDecimals.Contains($"{ai[..3]}n") && (ai[3] <= '5' || ai[..3] == "392") && char.IsAsciiDigit(ai[3]) ? $"{ai[..3]}n" : ai;

    private static IEnumerable<ApplicationIdentifier> Row(string line)
    {
        string[] cells = [.. line.Split('|').Select(cell => cell.Trim())];
        ValuePart[] parts = [.. PartOf().Matches(cells[2]).Select(Part)];
        foreach (var ai in Range(cells[0]))
            yield return new(
                ai, cells[1] == "*", parts,
                [.. cells[3].Split(',', StringSplitOptions.RemoveEmptyEntries).Select(Words)],
                cells[4] == "self" ? [ai[..3]] : Words(cells[4]),
                cells[5] switch { "" => null, "-" => [], var sequences => [.. sequences.Split('/').Select(Words)] },
                cells[6]);
    }

    private static IEnumerable<string> Range(string cell)
    {
        var ends = cell.Split('-');
        var (first, last) = (int.Parse(ends[0], CultureInfo.InvariantCulture), int.Parse(ends[^1], CultureInfo.InvariantCulture));
        return Enumerable.Range(first, last - first + 1)
            .Select(number => number.ToString(CultureInfo.InvariantCulture).PadLeft(ends[0].Length, '0'))
            .Select(ai => ai.Length == 3 && ai[0] == '3' ? $"{ai}n" : ai);
    }

    private static ValuePart Part(Match match)
    {
        var length = int.Parse(match.Groups["length"].Value, CultureInfo.InvariantCulture);
        var check = match.Groups["check"].Value;
        return new(match.Groups["letters"].Value[0], match.Groups["upTo"].Success ? 1 : length, length, check.Length == 0 ? ' ' : check[0], match.Groups["optional"].Success);
    }

    private static string[] Words(string cell) => cell.Split(' ', StringSplitOptions.RemoveEmptyEntries);

    [GeneratedRegex(@"(?<optional>\[)?(?<letters>[nxy])(?<upTo>\.\.)?(?<length>\d+)(?<check>[cdzt])?")]
    private static partial Regex PartOf();
}
