using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;

namespace Pourwright.Evidence.Epcis;

/// <summary>Something wrong that GS1's schema lets pass.</summary>
/// <param name="Path">JSON path of the member.</param>
/// <param name="Finding">The value, the rule, the way out.</param>
public sealed record EpcisFault(string Path, string Finding);

/// <summary>What a document must keep beyond the schema: masses, units, time zones, order, prefixes, hashes.</summary>
public static partial class EpcisChecks
{
    private static readonly string[] QuantityLists = ["quantityList", "childQuantityList", "inputQuantityList", "outputQuantityList"];

    /// <summary>All faults, in the order of the document.</summary>
    /// <param name="toleranceMg">So much more may come out than went in: what the scale cannot tell.</param>
    public static IReadOnlyList<EpcisFault> Faults(JsonObject document, long toleranceMg = 0)
    {
        var prefixes = EpcisPrefixes.Of(document);
        JsonObject[] events = [.. (document["epcisBody"]?["eventList"] as JsonArray ?? []).OfType<JsonObject>()];
        var order = new UseOrder();
        foreach (var told in events)
            order.Add(told, told.GetPath());
        return
        [
            .. events.Length == 0 ? new[] { new EpcisFault("$.epcisBody.eventList", "It is empty: a document tells of at least one event.") } : [],
            .. Undeclared(document, prefixes),
            .. events.SelectMany(told => OfEvent(told, prefixes, toleranceMg)),
            .. order.Faults,
        ];
    }

    /// <summary>Those of one event by itself, for documents too long to be held; its paths begin at the event. See <see cref="UseOrder"/> for the rest.</summary>
    public static IReadOnlyList<EpcisFault> EventFaults(JsonObject told, EpcisPrefixes prefixes, long toleranceMg = 0) =>
        [.. Undeclared(told, prefixes), .. OfEvent(told, prefixes, toleranceMg)];

    private static IEnumerable<EpcisFault> OfEvent(JsonObject told, EpcisPrefixes prefixes, long toleranceMg) =>
        [.. Zone(told), .. Quantities(told), .. Mass(told, toleranceMg), .. Sensors(told), .. Hash(told, prefixes)];

    private static IEnumerable<EpcisFault> Undeclared(JsonNode? node, EpcisPrefixes prefixes) => node switch
    {
        JsonObject members => members.Where(member => member.Key != "@context").SelectMany(member => Undeclared(members, member.Key, prefixes).Concat(Undeclared(member.Value, prefixes))),
        JsonArray items => items.SelectMany(item => Undeclared(item, prefixes)),
        _ => [],
    };

    private static IEnumerable<EpcisFault> Undeclared(JsonObject parent, string name, EpcisPrefixes prefixes)
    {
        if (name.IndexOf(':', StringComparison.Ordinal) is var colon and > 0 && !prefixes.Has(name[..colon]))
            yield return new($"{parent.GetPath()}['{name}']", $"The prefix \"{name[..colon]}\" is declared nowhere: add it to @context.");
    }

    /// <summary>An eventTime in UTC fits every zone; one with an offset must have that of eventTimeZoneOffset.</summary>
    private static IEnumerable<EpcisFault> Zone(JsonObject told)
    {
        var (time, offset) = (told["eventTime"].Text(), told["eventTimeZoneOffset"].Text());
        if (time is not null && offset is not null && OffsetAtEnd().Match(time) is { Success: true } written && written.Value != offset)
            yield return new($"{told.GetPath()}.eventTimeZoneOffset", $"\"{offset}\" disagrees with eventTime {time}: both say the offset of the place.");
    }

    private static IEnumerable<EpcisFault> Quantities(JsonObject told) => QuantityLists.SelectMany(list => told.Elements(list)).SelectMany(Quantity);

    private static IEnumerable<EpcisFault> Quantity(JsonObject element)
    {
        if (Number(element["quantity"]) is < 0 and var quantity)
            yield return new($"{element.GetPath()}.quantity", $"{Written(quantity)} is below nothing: give what was there, and correct a wrong event by a declaration.");
        if (element["uom"].Text() is { } unit && !EpcisUnits.IsQuantity(unit))
            yield return new($"{element.GetPath()}.uom", $"\"{unit}\" is no unit known here: masses are KGM, GRM or MGM.");
    }

    /// <summary>Only where both sides are given by mass throughout: a piece that comes out of a mix has none.</summary>
    private static IEnumerable<EpcisFault> Mass(JsonObject told, long toleranceMg)
    {
        if (MassMg(told, "inputQuantityList") is { } taken && MassMg(told, "outputQuantityList") is { } made && made > taken + toleranceMg)
            yield return new($"{told.GetPath()}.outputQuantityList", $"{Written(made)} mg came out of {Written(taken)} mg: nothing is made of nothing, so one of the masses is wrong.");
    }

    private static decimal? MassMg(JsonObject told, string list)
    {
        decimal?[] masses = [.. told.Elements(list).Select(element => Number(element["quantity"]) is { } quantity ? EpcisUnits.MassMg(quantity, element["uom"].Text()) : null)];
        return masses.Length == 0 || masses.Contains(null) ? null : masses.Sum();
    }

    private static IEnumerable<EpcisFault> Sensors(JsonObject told) =>
        told.Elements("sensorElementList").SelectMany(element => element.Elements("sensorReport")).SelectMany(Sensor);

    private static IEnumerable<EpcisFault> Sensor(JsonObject report)
    {
        var (type, unit) = (EpcisTerms.EventType(report["type"].Text() ?? ""), report["uom"].Text());
        if (unit is not null && !(EpcisUnits.ForMeasurement(type)?.Contains(unit) ?? RecommendationCode().IsMatch(unit)))
            yield return new($"{report.GetPath()}.uom", $"\"{unit}\" is no unit of {type}: give {string.Join(" or ", EpcisUnits.ForMeasurement(type) ?? ["a code of UN/ECE Recommendation 20"])}.");
    }

    private static IEnumerable<EpcisFault> Hash(JsonObject told, EpcisPrefixes prefixes)
    {
        if (told["eventID"].Text() is { } id && id.StartsWith("ni:///sha-256;", StringComparison.Ordinal) && EventHash.Of(told, prefixes) is var hash && hash != id)
            yield return new($"{told.GetPath()}.eventID", $"It is {id}, the event gives {hash}: the event was changed after it was named.");
    }

    private static decimal? Number(JsonNode? node) =>
        node?.GetValueKind() == JsonValueKind.Number && decimal.TryParse(node.ToJsonString(), NumberStyles.Float, CultureInfo.InvariantCulture, out var number) ? number : null;

    private static string Written(decimal number) => number.ToString("0.######", CultureInfo.InvariantCulture);

    [GeneratedRegex(@"[+-]\d\d:\d\d$")]
    private static partial Regex OffsetAtEnd();

    [GeneratedRegex("^[A-Z0-9]{2,3}$")]
    private static partial Regex RecommendationCode();
}
