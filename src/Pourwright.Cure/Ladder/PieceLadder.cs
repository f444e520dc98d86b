using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Ladder;

/// <summary>One rung: when it is reached, in h from the first pour, or that it is not.</summary>
public abstract record Rung(GateTimes Times);

/// <summary>Reached, also by the slow pieces.</summary>
/// <remarks>Times past the horizon are carried on at the last temperature of the room.</remarks>
public sealed record Opens(GateTimes Times) : Rung(Times);

/// <summary>It will not get there without warmth: not even two months in this room make it sure.</summary>
/// <param name="Times">Of the pieces that do get there; the safe time is always null.</param>
/// <param name="RoomCelsius">Last temperature of the room, in °C.</param>
/// <param name="ReachedConversion">Least conversion at the horizon, without unit: mean of the draws that stall.</param>
/// <param name="WantedConversion">
/// What the gate asks at that temperature, without unit; above 1 = the room is too warm for this resin to be glass in it.
/// </param>
public sealed record Stalls(GateTimes Times, double RoomCelsius, double ReachedConversion, double WantedConversion) : Rung(Times);

/// <summary>When the next layer may be poured on the last one without sanding, in h from the first pour.</summary>
/// <remarks>
/// Opens when the top face has gelled (0.577) and every point is within 5 K of the air; closes when the top face reaches 0.75,
/// which is a choice. After it closes: sand first, then pour. A touch test decides: gelled, still tacky.
/// </remarks>
/// <param name="Opens">Early, likely, safe.</param>
/// <param name="Closes">Early, likely, safe: the early one is the cautious one.</param>
/// <param name="BestAtHours">The time that lies inside the window for most draws; null = for none.</param>
/// <param name="ShareAtBest">Share of the draws whose window holds that time, without unit.</param>
public sealed record LayerWindow(GateTimes Opens, GateTimes Closes, double? BestAtHours, double ShareAtBest);

/// <summary>Waits after sanding, in h.</summary>
/// <remarks>Common practice, no source: the can of the finish decides.</remarks>
/// <param name="Coats">Number of coats.</param>
/// <param name="RecoatHours">From one coat to the next: 24 h for an oil.</param>
/// <param name="HandOverHours">From the last coat until the piece is handed over: 24 h.</param>
public sealed record FinishWaits(int Coats = 2, double RecoatHours = 24, double HandOverHours = 24)
{
    /// <summary>From the first coat to the hand-over, in h.</summary>
    public double ToHandOverHours => (Coats - 1) * RecoatHours + HandOverHours;
}

/// <summary>All rungs of one piece. A forecast is half of an answer: a touch test is the other half.</summary>
/// <param name="ModelRevision">The resin models that made it.</param>
/// <param name="Rungs">Every gate of <see cref="LadderGate"/>.</param>
/// <param name="NextLayer">Window for a further pour on the last one.</param>
/// <param name="Recoat">When a second coat may follow, had the first been laid as soon as the piece may be sanded.</param>
/// <param name="HandOver">When it may then be handed over.</param>
/// <param name="Peak">Hottest point.</param>
public sealed record PieceLadder(
    string ModelRevision, IReadOnlyDictionary<LadderGate, Rung> Rungs, LayerWindow NextLayer,
    GateTimes Recoat, GateTimes HandOver, PeakForecast Peak)
{
    /// <summary>Least conversion at the end of the likely run, without unit.</summary>
    public double LeastConversionAtHorizon { get; init; }

    /// <summary>The likely run, sampled; empty where only before and after of a change were asked for.</summary>
    public IReadOnlyList<CureSample> LikelyCourse { get; init; } = [];

    /// <summary>When the last point has gelled.</summary>
    public GateTimes Gel => this[LadderGate.Gel].Times;

    /// <summary>When it leaves its mould.</summary>
    public GateTimes Demold => this[LadderGate.Demold].Times;

    /// <summary>When it goes over saw and planer.</summary>
    public GateTimes Handle => this[LadderGate.Handle].Times;

    /// <summary>One rung.</summary>
    public Rung this[LadderGate gate] => Rungs[gate];
}
