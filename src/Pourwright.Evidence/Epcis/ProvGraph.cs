using System.Globalization;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>One member of a section of a PROV-JSON document.</summary>
public sealed record ProvEntry(string Section, string Name, JsonObject About);

/// <summary>PROV-JSON in the making, a record at a time: things once each by their names, relations numbered.</summary>
/// <remarks>Of what was told it keeps the names alone.</remarks>
public sealed class ProvGraph(TraceDomain domain)
{
    private readonly HashSet<(string Section, string Name)> _named = [];
    private readonly Dictionary<string, int> _relations = [];

    /// <summary>What a record adds; nothing for one that neither uses nor makes.</summary>
    /// <param name="told">Its event, with its eventID.</param>
    public IEnumerable<ProvEntry> Add(TraceRecord record, JsonObject told)
    {
        var (taken, made) = Sides(record);
        if (taken.Count + made.Count == 0)
            return [];
        var act = $"pw:event/{told["eventID"]!.GetValue<string>().Split(';', '?')[1]}";
        return
        [
            .. Named("activity", act, Activity(record, told)),
            .. taken.Concat(made).SelectMany(part => Named("entity", Name(part.Of), new() { ["prov:type"] = part.Of.Kind.ToString().ToLowerInvariant() })),
            .. record.By is { } by ? Named("agent", Name(by), new() { ["prov:type"] = "prov:Person" }) : [],
            .. taken.Select(part => Related("used", new() { ["prov:activity"] = act, ["prov:entity"] = Name(part.Of), ["pw:mass_mg"] = part.MassMg })),
            .. made.SelectMany(whole => Generated(act, whole, taken)),
            .. record.By is { } doer ? [Related("wasAssociatedWith", new() { ["prov:activity"] = act, ["prov:agent"] = Name(doer) })] : Array.Empty<ProvEntry>(),
        ];
    }

    private static JsonObject Activity(TraceRecord record, JsonObject told) => new()
    {
        ["prov:startTime"] = EpcisTime.Local(record.Time, record.Zone),
        ["prov:endTime"] = EpcisTime.Local(record.Time, record.Zone),
        ["prov:type"] = EpcisEvents.Step(told),
    };

    private IEnumerable<ProvEntry> Generated(string act, Part whole, IReadOnlyList<Part> taken) =>
    [
        Related("wasGeneratedBy", new() { ["prov:entity"] = Name(whole.Of), ["prov:activity"] = act, ["pw:mass_mg"] = whole.MassMg }),
        .. taken.Where(part => part.Of != whole.Of).Select(part => Related("wasDerivedFrom",
            new() { ["prov:generatedEntity"] = Name(whole.Of), ["prov:usedEntity"] = Name(part.Of), ["prov:activity"] = act })),
    ];

    /// <summary>What went in and what came out. A later layer uses the piece and makes nothing new: the piece derives from its mix all the same.</summary>
    private static (IReadOnlyList<Part> Taken, IReadOnlyList<Part> Made) Sides(TraceRecord record) => record switch
    {
        LotReceived received => ([], [Of(received.Lot)]),
        Filled filled => ([.. filled.From.Select(Of)], [Of(filled.Contents)]),
        Mixed mixed => ([.. mixed.From.Select(Of)], [Of(mixed.Mix)]),
        Poured poured => ([.. poured.From.Select(Of), .. poured.Blank is { } blank ? new[] { new Part(blank, null) } : []], [new Part(poured.Piece, null)]),
        Discarded discarded => ([.. discarded.Materials.Select(Of), .. discarded.Pieces.Select(piece => new Part(piece, null))], []),
        _ => ([], []),
    };

    private static Part Of(Amount amount) => new(amount.Of, amount.MassMg);

    private IEnumerable<ProvEntry> Named(string section, string name, JsonObject about) =>
        _named.Add((section, name)) ? [new(section, name, about)] : [];

    private ProvEntry Related(string kind, JsonObject between)
    {
        var number = _relations[kind] = _relations.GetValueOrDefault(kind) + 1;
        return new(kind, string.Create(CultureInfo.InvariantCulture, $"_:{kind}{number}"), between.WithoutNulls());
    }

    private string Name(Thing thing) => domain.UriOf(thing) is var uri && uri.StartsWith(domain.Origin, StringComparison.Ordinal)
        ? $"pw:{uri[(domain.Origin.Length + 1)..]}"
        : $"gs1:{uri[ProvDocument.Gs1.Length..]}";

    private sealed record Part(Thing Of, long? MassMg);
}
