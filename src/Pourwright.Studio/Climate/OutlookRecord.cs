using System.Text.Json;
using Pourwright.Studio.Storage;
using Kind = Pourwright.V1.BenchOutlook.Types.Kind;

namespace Pourwright.Studio.Climate;

/// <summary>One point of an outlook, in Unix ms and °C.</summary>
public readonly record struct OutlookPoint(long AtMs, double TemperatureCelsius);

/// <summary>A row of `bench_outlooks`: what the air at a bench will follow.</summary>
public sealed record OutlookRecord
{
    public string Bench { get; init; } = "";

    public Kind Kind { get; init; }

    /// <summary>JSON `[[Unix ms, °C], ...]` in rising time.</summary>
    public string Points { get; init; } = "[]";

    public long SetMs { get; init; }

    public static string Write(IEnumerable<OutlookPoint> points) =>
        JsonSerializer.Serialize(points.Select(point => new[] { point.AtMs, point.TemperatureCelsius }));

    public IReadOnlyList<OutlookPoint> ReadPoints() =>
        [.. JsonSerializer.Deserialize<double[][]>(Points)!.Select(point => new OutlookPoint((long)point[0], point[1]))];

    public V1.BenchOutlook ToProto() => new()
    {
        Bench = Bench,
        Kind = Kind,
        Points =
        {
            ReadPoints().Select(point => new V1.BenchOutlook.Types.Point
            {
                PointTime = Instants.ToTimestamp(point.AtMs), TemperatureCelsius = point.TemperatureCelsius,
            }),
        },
        SetTime = Instants.ToTimestamp(SetMs),
    };
}
