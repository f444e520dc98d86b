using Pourwright.Studio.Climate;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>All that is recorded about a piece and what stands behind it.</summary>
public sealed record PieceFacts
{
    public required Piece Piece { get; init; }

    /// <summary>The site's: times in words are local.</summary>
    public required TimeZoneInfo Zone { get; init; }

    public IReadOnlyList<Defect> Defects { get; init; } = [];

    /// <summary>First to last.</summary>
    public IReadOnlyList<PourFacts> Pours { get; init; } = [];

    /// <summary>First to last.</summary>
    public IReadOnlyList<Check> Checks { get; init; } = [];

    /// <summary>First to last.</summary>
    public IReadOnlyList<Step> Steps { get; init; } = [];

    public Forecast? FirstForecast { get; init; }

    public Forecast? LastForecast { get; init; }

    /// <summary>The last forecast knows the newest pour.</summary>
    public bool ForecastStands { get; init; } = true;

    /// <summary>Where it stood while it cured.</summary>
    public IReadOnlyList<CureStay> Stays { get; init; } = [];

    /// <summary>Along its stays.</summary>
    public RoomReadings CureReadings { get; init; } = new([], 0);

    /// <summary>Coldest that the data sheets of its resins allow, in °C; null where no pour names one.</summary>
    public double? MinCureTemperatureCelsius { get; init; }

    public IReadOnlyList<SharedFactor> Sisters { get; init; } = [];

    /// <summary>First to last.</summary>
    public IReadOnlyList<Correction> Corrections { get; init; } = [];
}

/// <summary>A pour, its mix, what was drawn for the mix, and the readings around it.</summary>
public sealed record PourFacts(Pour Pour, Mix Mix, IReadOnlyList<DrawTrace> Draws, RoomReadings Around);

/// <summary>Readings by time, and how often their slowest sensor reports, in ms.</summary>
public sealed record RoomReadings(IReadOnlyList<ReadingRecord> Readings, long IntervalMs);
