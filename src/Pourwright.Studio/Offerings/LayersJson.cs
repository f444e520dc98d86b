using System.Text.Json;
using Google.Protobuf.WellKnownTypes;
using Pourwright.V1;

namespace Pourwright.Studio.Offerings;

/// <summary>One pour of an offering: its depth, and how long after the first it is poured, in ms.</summary>
public readonly record struct OfferingLayer(double DepthMm, long PourOffsetMs)
{
    public Offering.Types.Layer ToProto() => new()
    {
        DepthMm = DepthMm,
        PourOffset = PourOffsetMs == 0 ? null : Duration.FromTimeSpan(TimeSpan.FromMilliseconds(PourOffsetMs)),
    };
}

/// <summary>The column `layers`: JSON `[[mm, ms after the first], ...]`, the lowest first; `[]` for a single pour.</summary>
public static class LayersJson
{
    public static string Write(IEnumerable<OfferingLayer> layers) =>
        JsonSerializer.Serialize(layers.Select(layer => new[] { layer.DepthMm, layer.PourOffsetMs }));

    public static IReadOnlyList<OfferingLayer> Read(string json) =>
        [.. JsonSerializer.Deserialize<double[][]>(json)!.Select(layer => new OfferingLayer(layer[0], (long)layer[1]))];
}
