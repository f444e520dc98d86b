using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>Readings of a cure as EPCIS sensor elements: the summary in one report, then what was noted.</summary>
/// <remarks>Units of UN/ECE Recommendation 20: CEL for °C, P1 for percent (P1 from memory).</remarks>
public sealed class EpcisSensors(TraceDomain domain)
{
    public JsonArray Elements(CureRead record) => new([Summary(record), .. record.Noted.Select(noted => Reading(record, noted))]);

    private JsonObject Summary(CureRead record) => new()
    {
        ["sensorMetadata"] = new JsonObject
        {
            ["startTime"] = EpcisTime.Local(record.From, record.Zone),
            ["endTime"] = EpcisTime.Local(record.Time, record.Zone),
            ["deviceID"] = domain.UriOf(record.Logger),
            ["dataProcessingMethod"] = $"{domain.Origin}/method/{Uri.EscapeDataString(record.Method)}",
        },
        ["sensorReport"] = new JsonArray(
        [
            Report("Temperature", record.TemperatureCelsius, "CEL"),
            .. record.RelativeHumidityPercent is { } humidity ? new JsonNode[] { Report("RelativeHumidity", humidity, "P1") } : [],
        ]),
    };

    private static JsonObject Report(string type, Span span, string unit) => new JsonObject
    {
        ["type"] = type,
        ["minValue"] = span.Min,
        ["maxValue"] = span.Max,
        ["meanValue"] = span.Mean,
        ["sDev"] = span.Deviation,
        ["uom"] = unit,
    }.WithoutNulls();

    private JsonObject Reading(CureRead record, NotedTemperature noted) => new()
    {
        ["sensorMetadata"] = new JsonObject { ["time"] = EpcisTime.Local(noted.Time, record.Zone), ["deviceID"] = domain.UriOf(record.Logger) },
        ["sensorReport"] = new JsonArray(new JsonObject
        {
            ["type"] = "Temperature",
            ["value"] = noted.TemperatureCelsius,
            ["uom"] = "CEL",
            ["component"] = noted.Part is null ? null : $"{domain.Origin}/voc/component/{Uri.EscapeDataString(noted.Part)}",
            ["exception"] = noted.Alarm ? "ALARM_CONDITION" : null,
        }.WithoutNulls()),
    };
}
