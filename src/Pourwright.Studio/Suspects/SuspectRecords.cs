using Pourwright.Studio.Climate;
using Pourwright.Studio.Lots;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Sites;
using Pourwright.V1;

namespace Pourwright.Studio.Suspects;

/// <summary>Which pieces are looked at: those of some sites, first poured in a window.</summary>
/// <param name="Studio">`studios/{studio}`.</param>
/// <param name="Sites">Every site where empty.</param>
/// <param name="FromMs">First pour at this Unix ms or later.</param>
/// <param name="ToMs">First pour before this Unix ms.</param>
/// <param name="Piece">Only this one; any where empty.</param>
public sealed record SuspectScope(string Studio, IReadOnlyList<string> Sites, long FromMs = 0, long ToMs = long.MaxValue, string Piece = "");

/// <summary>A piece without its maker: nobody is suspected by whom a piece belongs to.</summary>
public sealed record PieceRow(
    string Name, string Site, string CastingClass, string Mould, double? WoodMoisturePercent, double? ChannelWidthMm, Piece.Types.State State);

/// <summary>A pour with what its mix says.</summary>
/// <param name="ResinTemperatureCelsius">As poured, else as mixed.</param>
public sealed record PourRow(
    string Piece, string Mix, string Bench, double DepthMm, long PourMs, string Pourer, double? ResinTemperatureCelsius,
    string MixSite, string ResinSystem, long MixMs, string Mixer, string Scale, double RatioDeviationPercent);

/// <summary>A step.</summary>
public sealed record StepRow(string Piece, Step.Types.Kind Kind, long StepMs, string? Bench);

/// <summary>A touch test.</summary>
public sealed record TouchRow(string Piece, long CheckMs, Check.Types.Touch Touch);

/// <summary>A defect.</summary>
public sealed record DefectRow(string Name, string Piece, Defect.Types.Kind Kind, long FindMs);

/// <summary>Who teaches the pour of a class.</summary>
public sealed record TaughtClass(string Class, string Instructor);

/// <summary>All that is on record of the pieces of a scope, as of one commit.</summary>
public sealed record SuspectRecords
{
    public required SuspectScope Scope { get; init; }
    public required IReadOnlyList<PieceRow> Pieces { get; init; }

    /// <summary>First to last of each piece.</summary>
    public required ILookup<string, PourRow> Pours { get; init; }

    /// <summary>First to last of each piece.</summary>
    public required ILookup<string, StepRow> Steps { get; init; }

    /// <summary>First to last of each piece.</summary>
    public required ILookup<string, TouchRow> Touches { get; init; }

    /// <summary>First found first.</summary>
    public required ILookup<string, DefectRow> Defects { get; init; }

    /// <summary>By mix.</summary>
    public required ILookup<string, DrawnLot> Draws { get; init; }

    /// <summary>Instructors by class.</summary>
    public required ILookup<string, string> Instructors { get; init; }
    public required IReadOnlyDictionary<string, ResinSystemRecord> Resins { get; init; }
    public required IReadOnlyDictionary<string, SiteRecord> Sites { get; init; }
    public required RecordedAir Air { get; init; }
}

/// <summary>The readings that speak for each bench: of its own sensors, else of the room's.</summary>
public sealed class RecordedAir(IEnumerable<BenchRecord> benches, IEnumerable<SensorRecord> sensors, IEnumerable<ReadingRecord> readings)
{
    private readonly Dictionary<string, BenchRecord> _benches = benches.ToDictionary(bench => bench.Name);
    private readonly ILookup<string, SensorRecord> _sensors = sensors.ToLookup(sensor => sensor.Site);
    private readonly ILookup<string, ReadingRecord> _readings = readings.ToLookup(reading => reading.Sensor);
    private readonly Dictionary<string, (ReadingRecord[] Readings, long IntervalMs)> _series = [];

    public double BoardThicknessMm(string bench) => _benches[bench].BoardThicknessMm;

    /// <summary>How often a bench is reported on, in ms.</summary>
    public long IntervalMs(string bench) => Series(bench).IntervalMs;

    /// <summary>Readings from an instant to another, both included, in Unix ms, first to last.</summary>
    public ArraySegment<ReadingRecord> Between(string bench, long fromMs, long toMs)
    {
        var series = Series(bench).Readings;
        var first = FirstFrom(series, fromMs);
        return new(series, first, Math.Max(0, FirstFrom(series, toMs + 1) - first));
    }

    private (ReadingRecord[] Readings, long IntervalMs) Series(string bench)
    {
        if (_series.TryGetValue(bench, out var known)) return known;
        var all = _sensors[_benches[bench].Site].Where(sensor => sensor.Bench is null || sensor.Bench == bench).ToList();
        var own = all.Where(sensor => sensor.Bench is not null).ToList();
        var watching = own.Count > 0 ? own : all;
        return _series[bench] = (
            [.. watching.SelectMany(sensor => _readings[sensor.Name]).OrderBy(reading => reading.ReadingMs)], ClimateStore.IntervalMs(watching));
    }

    private static int FirstFrom(ReadingRecord[] series, long ms)
    {
        var (low, high) = (0, series.Length);
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (series[middle].ReadingMs < ms) low = middle + 1;
            else high = middle;
        }
        return low;
    }
}
