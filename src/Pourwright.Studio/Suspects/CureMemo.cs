using Microsoft.Extensions.Caching.Memory;
using Pourwright.Cure;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;

namespace Pourwright.Studio.Suspects;

/// <summary>A piece as the engine has it when somebody looked: least conversion, least glass transition and hottest point so far, in °C.</summary>
public sealed record CureSight(double Conversion, double TgCelsius, double PeakCelsius);

/// <summary>What the engine said of pieces, remembered for as long as what it rests on stays the same.</summary>
/// <remarks>
/// One a host, for all threads, and bounded: a season's pieces are asked about again and again, and their rooms change no more. Not
/// for the writer's thread: a piece that is not remembered takes a tenth of a millisecond to some milliseconds.
/// </remarks>
public sealed class CureMemo : IDisposable
{
    /// <summary>Of a hundred bytes each.</summary>
    private const int EntriesMax = 100_000;

    private readonly MemoryCache _known = new(new MemoryCacheOptions { SizeLimit = EntriesMax });

    /// <summary>Null where the engine cannot be asked, since something lies outside its range.</summary>
    public CureSight? Look(RecordedCure cure, Departure departure)
    {
        var key = (cure.Piece, departure.RateFactor, Fingerprint(cure));
        if (_known.TryGetValue(key, out CureSight? sight)) return sight;
        return _known.Set(key, Solve(cure, departure), new MemoryCacheEntryOptions { Size = 1 });
    }

    public void Dispose() => _known.Dispose();

    private static CureSight? Solve(RecordedCure cure, Departure departure)
    {
        try
        {
            var run = ObservedRun.Solve(cure.Case, departure, cure.LookHours);
            return new(run.Sights[0].LeastConversion, run.Sights[0].LeastTgCelsius, run.PeakCelsius);
        }
        catch (Exception unanswerable) when (unanswerable is CureRangeException or CureUnsolvedException)
        {
            return null;
        }
    }

    private static int Fingerprint(RecordedCure cure)
    {
        var hash = new HashCode();
        hash.Add(cure.LookHours);
        hash.Add(cure.Case.BoardThicknessMm);
        hash.Add(cure.Case.ChannelWidthMm);
        foreach (var layer in cure.Case.Layers) hash.Add((layer.AtHours, layer.DepthMm, layer.TemperatureCelsius, layer.Resin.Revision));
        foreach (var point in cure.Case.Ambient) hash.Add(point);
        return hash.ToHashCode();
    }
}
