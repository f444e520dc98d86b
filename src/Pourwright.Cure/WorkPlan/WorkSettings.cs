using Pourwright.Cure.Ladder;

namespace Pourwright.Cure.WorkPlan;

/// <summary>What left the surface that is to be sanded.</summary>
public enum Cutter
{
    /// <summary>A planer with a helical head.</summary>
    HelicalHead,

    /// <summary>A planer with straight knives.</summary>
    StraightKnives,

    /// <summary>A router on a sled.</summary>
    RouterSled,
}

/// <summary>How a studio works on the second day.</summary>
/// <remarks>
/// Every default: common practice, no source. A studio puts its own habits here; the manual of the machine and the can of the
/// finish go before any of them.
/// </remarks>
public sealed record WorkSettings
{
    /// <summary>The first pass is set this far over the highest reading, in mm: readings miss high spots (1 to 2).</summary>
    public double HighSpotsMm { get; init; } = 1.5;

    /// <summary>Each further pass is set lower by this, in mm.</summary>
    /// <remarks>Some take 0.8 to 1.6 mm off wood and only 0.3 to 0.8 mm off resin, which chips: set it so then.</remarks>
    public double PassMm { get; init; } = 2;

    /// <summary>Least cut that is kept for the second face, in mm.</summary>
    public double SecondFaceMm { get; init; } = 0.5;

    /// <summary>Shortest piece that goes through the planer, in mm: longer than the spacing of its rollers. A router sled has none.</summary>
    public double ShortestPlanedMm { get; init; } = 300;

    /// <summary>One pass through the planer with its setting, in min.</summary>
    public double PassMinutes { get; init; } = 1;

    /// <summary>Turning the piece and wiping the bed, in min.</summary>
    public double TurnMinutes { get; init; } = 2;

    /// <summary>Grits at hand, coarse to fine.</summary>
    /// <remarks>Oiled wood is often left at 120 to 150, where clear resin still shows scratches: agree on a sample.</remarks>
    public IReadOnlyList<int> Grits { get; init; } = [80, 100, 120, 150, 180, 220, 320];

    /// <summary>First grit after a helical head.</summary>
    public int FirstGritAfterHelicalHead { get; init; } = 120;

    /// <summary>First grit after straight knives (80 or 100).</summary>
    public int FirstGritAfterStraightKnives { get; init; } = 100;

    /// <summary>First grit after a router sled (80 or 100).</summary>
    public int FirstGritAfterRouterSled { get; init; } = 80;

    /// <summary>Diameter of the sanding disc, in mm.</summary>
    public double DiscMm { get; init; } = 150;

    /// <summary>Speed of the disc over the face, in mm/s: slow and without pressure, because heat smears resin.</summary>
    public double DiscMmPerSecond { get; init; } = 25;

    /// <summary>End grain takes this many times as long as face grain.</summary>
    public double EndGrainFactor { get; init; } = 2;

    /// <summary>Changing the disc and wiping off the dust of the last grit, in min.</summary>
    public double GritChangeMinutes { get; init; } = 1;

    /// <summary>Laying a coat of oil, in min.</summary>
    public double CoatMinutes { get; init; } = 15;

    /// <summary>How long it soaks before it is wiped off, in min.</summary>
    public double SoakMinutes { get; init; } = 15;

    /// <summary>Wiping it off, in min.</summary>
    public double WipeMinutes { get; init; } = 10;

    /// <summary>Coats, and the waits after them.</summary>
    public FinishWaits Finish { get; init; } = new();

    internal int FirstGrit(Cutter cutter) => cutter switch
    {
        Cutter.HelicalHead => FirstGritAfterHelicalHead,
        Cutter.StraightKnives => FirstGritAfterStraightKnives,
        _ => FirstGritAfterRouterSled,
    };
}
