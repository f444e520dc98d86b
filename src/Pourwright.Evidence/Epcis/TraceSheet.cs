using System.Globalization;
using System.Text;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>One line an event and material, as CSV that a spreadsheet sorts: what an inquiry wants within a day.</summary>
/// <remarks>
/// Yardstick: a sortable electronic sheet within 24 hours of a request, 21 CFR 1 subpart S (read about in secondary texts alone; no
/// law for a resin studio). Lines end as RFC 4180 has it.
/// </remarks>
public sealed class TraceSheet(TraceDomain domain)
{
    /// <summary>The first line.</summary>
    public const string Head = "event_id,event_time,time_zone,step,side,item,supplier_lot,quantity,unit,place,documents,recorded_by";

    private readonly EpcisDocument _events = new(domain);

    /// <summary>Sorted by time, then by event.</summary>
    public string Write(IEnumerable<TraceRecord> records)
    {
        var lines = records.Select(record => (record, told: _events.Event(record)))
            .OrderBy(line => line.record.Time).ThenBy(line => EventId(line.told), StringComparer.Ordinal)
            .SelectMany(line => Lines(line.record, line.told));
        return new StringBuilder().AppendJoin("\r\n", [Head, .. lines, ""]).ToString();
    }

    /// <summary>The lines of one record, without their ends.</summary>
    /// <param name="told">Its event, with its eventID.</param>
    public IEnumerable<string> Lines(TraceRecord record, JsonObject told) =>
        Sides(record).Select(side => Line(record, EventId(told), EpcisEvents.Step(told), side));

    private static string EventId(JsonObject told) => told["eventID"]!.GetValue<string>();

    private string Line(TraceRecord record, string id, string step, (string Side, Thing Of, long? MassMg) part) => string.Join(',', new[]
    {
        id,
        EpcisTime.Local(record.Time, record.Zone),
        record.Zone,
        step,
        part.Side,
        domain.UriOf(part.Of),
        record is LotReceived received ? received.SupplierLot : part.Of.SupplierLot ?? "",
        part.MassMg is { } massMg ? (massMg / 1_000_000m).ToString(CultureInfo.InvariantCulture) : "",
        part.MassMg is null ? "" : "kg",
        domain.UriOf(record.Place),
        string.Join(' ', record.Papers.Select(paper => domain.UriOf(paper.Document))),
        record.By is null ? "" : domain.UriOf(record.By),
    }.Select(Cell));

    private static IEnumerable<(string Side, Thing Of, long? MassMg)> Sides(TraceRecord record) => record switch
    {
        LotReceived received => [Part("in", received.Lot)],
        Filled filled => [.. filled.From.Select(part => Part("used", part)), Part("made", filled.Contents)],
        Mixed mixed => [.. mixed.From.Select(part => Part("used", part)), Part("made", mixed.Mix)],
        Poured poured => [.. poured.From.Select(part => Part("used", part)), .. Piece("used", poured.Blank), .. Piece("made", poured.Piece)],
        Held held => Both("held", held.Materials, held.Pieces),
        Released released => Both("released", released.Materials, released.Pieces),
        Weighed weighed => [Part("seen", weighed.Left)],
        Moved moved => [Part("moved", moved.Material)],
        Recalled recalled => Both("recalled", recalled.Materials, recalled.Pieces),
        Discarded discarded => Both("discarded", discarded.Materials, discarded.Pieces),
        CureRead read => Piece("seen", read.Piece),
        Checked seen => Piece("seen", seen.Piece),
        Inspected inspected => Piece("seen", inspected.Piece),
        LoggerTied tied => Piece("seen", tied.Piece),
        _ => [],
    };

    private static IEnumerable<(string, Thing, long?)> Both(string side, IEnumerable<Amount> materials, IEnumerable<Thing> pieces) =>
        [.. materials.Select(material => Part(side, material)), .. pieces.SelectMany(piece => Piece(side, piece))];

    private static (string, Thing, long?) Part(string side, Amount amount) => (side, amount.Of, amount.MassMg);

    private static IEnumerable<(string, Thing, long?)> Piece(string side, Thing? piece) => piece is null ? [] : [(side, piece, null)];

    /// <summary>Quoted where it must be. A text that a spreadsheet would take for a formula gets an apostrophe before it.</summary>
    private static string Cell(string text)
    {
        var safe = text.Length > 0 && "=+-@\t\r".Contains(text[0], StringComparison.Ordinal) ? $"'{text}" : text;
        return safe.AsSpan().IndexOfAny("\",\r\n") < 0 ? safe : $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }
}
