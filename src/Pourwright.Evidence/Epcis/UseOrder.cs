using System.Globalization;
using System.Text.Json.Nodes;

namespace Pourwright.Evidence.Epcis;

/// <summary>Nothing is used before it was made, as far as the events added tell of both. They may come in any order.</summary>
public sealed class UseOrder
{
    private readonly Dictionary<string, DateTimeOffset> _made = [];
    private readonly Dictionary<string, Use> _used = [];

    /// <summary>Once each thing, at its first use.</summary>
    public IEnumerable<EpcisFault> Faults => _used
        .Where(use => _made.TryGetValue(use.Key, out var made) && use.Value.Time < made)
        .Select(use => new EpcisFault($"{use.Value.Path}.eventTime", $"{use.Key} is used at {use.Value.Written}, before it was made: one of the two times is wrong."));

    /// <param name="path">What the event is called in a fault.</param>
    public void Add(JsonObject told, string path)
    {
        if (Time(told) is not { } time)
            return;
        foreach (var uri in Made(told).Where(uri => !_made.TryGetValue(uri, out var first) || time < first))
            _made[uri] = time;
        foreach (var uri in Used(told).Where(uri => !_used.TryGetValue(uri, out var first) || time < first.Time))
            _used[uri] = new(time, told["eventTime"].Text()!, path);
    }

    private static IEnumerable<string> Made(JsonObject told) =>
        [.. Names(told, "outputEPCList", "outputQuantityList"), .. told["bizStep"].Text() == "receiving" ? Names(told, "epcList", "quantityList") : []];

    private static IEnumerable<string> Used(JsonObject told) => Names(told, "inputEPCList", "inputQuantityList");

    private static IEnumerable<string> Names(JsonObject told, string instances, string classes) =>
        (told[instances] as JsonArray ?? []).Select(item => item.Text()).Concat(told.Elements(classes).Select(element => element["epcClass"].Text())).OfType<string>();

    private static DateTimeOffset? Time(JsonObject told) =>
        DateTimeOffset.TryParse(told["eventTime"].Text(), CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time) ? time : null;

    private sealed record Use(DateTimeOffset Time, string Written, string Path);
}
