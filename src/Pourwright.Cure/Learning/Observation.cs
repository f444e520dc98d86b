namespace Pourwright.Cure.Learning;

/// <summary>What a gloved finger or a thumbnail says.</summary>
public enum Touch
{
    /// <summary>It sticks.</summary>
    Tacky,

    /// <summary>It gives under a nail.</summary>
    Soft,

    /// <summary>It neither sticks nor gives.</summary>
    Firm,
}

/// <summary>The gates a person can see open.</summary>
public enum CureGate
{
    /// <summary>It no longer flows.</summary>
    Gel,

    /// <summary>It may leave its mould.</summary>
    Demold,

    /// <summary>It may be sawn and planed.</summary>
    Handle,
}

/// <summary>One thing seen of a piece, and how likely it was. Each is given once: a touch is not also a gate seen open.</summary>
/// <remarks>All observations of a piece are independent once its run is known: errors of a person are not carried over.</remarks>
public abstract record Observation
{
    private protected Observation() { }

    /// <summary>
    /// Likelihood in one run: a probability, without unit, or for a reading a density, per unit of the reading.
    /// </summary>
    public abstract double Likelihood(ObservedRun run, EvidenceScales scales);

    /// <summary>When it was seen, in h from the first pour; null where it tells of no one instant.</summary>
    internal virtual double? SeenAtHours => null;

    internal abstract void Check(double horizonHours);

    private protected static void CheckTime(double hours, double horizonHours) =>
        CureRangeException.Check("Time of a check", hours, 0, horizonHours, "h");

    private protected static void CheckCelsius(double celsius) =>
        CureRangeException.Check("Surface temperature", celsius, -20, 300, "°C");
}

/// <summary>A touch at the slowest place: with z = least Tg − T, an ordered probit.</summary>
/// <remarks>
/// P(tacky) = Φ((c1 − z)/s), P(firm) = 1 − Φ((c2 − z)/s), P(soft) is the rest [McCullagh1980].
/// </remarks>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="Touch">What was felt.</param>
public sealed record TouchSeen(double AtHours, Touch Touch) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales)
    {
        var z = run.At(AtHours).LeastTgMinusTKelvin;
        var tacky = Normal.Cdf((scales.TackyBelowKelvin - z) / scales.TouchSdKelvin);
        var firm = Normal.Cdf((z - scales.FirmFromKelvin) / scales.TouchSdKelvin);
        var likelihood = Touch switch { Touch.Tacky => tacky, Touch.Firm => firm, _ => Math.Max(0, 1 - tacky - firm) };
        return scales.WithLapses(likelihood, 1 / 3.0);
    }

    internal override double? SeenAtHours => AtHours;
    internal override void Check(double horizonHours) => CheckTime(AtHours, horizonHours);
}

/// <summary>A Shore D reading of the surface: normal about <see cref="EvidenceScales.ShoreD"/>.</summary>
/// <remarks>
/// Hardness has no simple relation to any fundamental property (ISO 868, excerpt seen): the curve must be fitted to each resin.
/// </remarks>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="ShoreD">The reading, 0 to 100.</param>
public sealed record ShoreSeen(double AtHours, double ShoreD) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales)
    {
        var expected = scales.ShoreD(run.At(AtHours).SurfaceTgMinusTKelvin);
        return scales.WithLapses(Normal.Density((ShoreD - expected) / scales.ShoreSd) / scales.ShoreSd, 1 / 100.0);
    }

    internal override double? SeenAtHours => AtHours;

    internal override void Check(double horizonHours)
    {
        CheckTime(AtHours, horizonHours);
        CureRangeException.Check("Shore D", ShoreD, 0, 100, "");
    }
}

/// <summary>Too soft for the durometer, or under its scale: left-censored, Φ((D_least − D)/s).</summary>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="LeastShoreD">Where its scale begins: a reading under 20 D belongs on the A scale (from memory).</param>
public sealed record ShoreBelowScale(double AtHours, double LeastShoreD = 20) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales)
    {
        var expected = scales.ShoreD(run.At(AtHours).SurfaceTgMinusTKelvin);
        return scales.WithLapses(Normal.Cdf((LeastShoreD - expected) / scales.ShoreSd), 0.5);
    }

    internal override double? SeenAtHours => AtHours;

    internal override void Check(double horizonHours)
    {
        CheckTime(AtHours, horizonHours);
        CureRangeException.Check("Start of the Shore D scale", LeastShoreD, 0, 100, "");
    }
}

/// <summary>The hottest surface, off a logger or a thermometer that keeps its maximum: normal about the hottest upper face.</summary>
/// <param name="Celsius">In °C.</param>
public sealed record SurfaceMaximum(double Celsius) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales) =>
        SurfaceSeen.Density(Celsius - run.SurfaceMaximumCelsius, scales);

    internal override void Check(double horizonHours) => CheckCelsius(Celsius);
}

/// <summary>The surface at one instant: normal about the upper face then.</summary>
/// <remarks>That the peak was no lower follows from the run and must not be counted again.</remarks>
/// <param name="AtHours">In h from the first pour.</param>
/// <param name="Celsius">In °C.</param>
public sealed record SurfaceSeen(double AtHours, double Celsius) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales) =>
        Density(Celsius - run.At(AtHours).SurfaceCelsius, scales);

    // A slipped digit may give any temperature of a range of 200 K.
    internal static double Density(double errorKelvin, EvidenceScales scales) => scales.WithLapses(
        Normal.Density(errorKelvin / scales.SurfaceSdKelvin) / scales.SurfaceSdKelvin, 1 / 200.0);

    internal override double? SeenAtHours => AtHours;

    internal override void Check(double horizonHours)
    {
        CheckTime(AtHours, horizonHours);
        CheckCelsius(Celsius);
    }
}

/// <summary>A surface this hot was met, nobody noted when: the peak is right-censored, Φ((T_max − y)/s).</summary>
/// <param name="Celsius">In °C.</param>
public sealed record SurfaceReached(double Celsius) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales) =>
        scales.WithLapses(Normal.Cdf((run.SurfaceMaximumCelsius - Celsius) / scales.SurfaceSdKelvin), 0.5);

    internal override void Check(double horizonHours) => CheckCelsius(Celsius);
}

/// <summary>
/// A gate not yet open at one look and open at the next: Φ((ln t2 − ln t)/s) − Φ((ln t1 − ln t)/s), t the gate of the run.
/// </summary>
/// <remarks>
/// Open at the first look: no t1, left-censored. Demolded still soft, or never seen ready: no t2, right-censored. Neither may
/// be dropped: without them only quick pieces would teach.
/// </remarks>
/// <param name="Gate">Which gate.</param>
/// <param name="NotReadyHours">t1, the last look at which it was not open, in h from the first pour.</param>
/// <param name="ReadyHours">t2, the first look at which it was open, in h from the first pour.</param>
public sealed record GateSeen(CureGate Gate, double? NotReadyHours, double? ReadyHours) : Observation
{
    /// <inheritdoc/>
    public override double Likelihood(ObservedRun run, EvidenceScales scales)
    {
        var gate = run.Hours(Gate);
        double Before(double hours) =>
            double.IsPositiveInfinity(gate) ? 0 : Normal.Cdf(Math.Log(hours / gate) / scales.ReadyLnSd);
        // Differences of the smaller tail: late in the night both Φ are one.
        double After(double hours) =>
            double.IsPositiveInfinity(gate) ? 1 : Normal.Cdf(Math.Log(gate / hours) / scales.ReadyLnSd);
        var likelihood = (NotReadyHours, ReadyHours) switch
        {
            ({ } from, { } to) when from > gate => After(from) - After(to),
            ({ } from, { } to) => Before(to) - Before(from),
            (null, { } to) => Before(to),
            ({ } from, null) => After(from),
            _ => 1,
        };
        return scales.WithLapses(likelihood, NotReadyHours is null || ReadyHours is null ? 0.5 : 1 / 3.0);
    }

    internal override void Check(double horizonHours)
    {
        CureRangeException.Check("Number of looks", (NotReadyHours is null ? 0 : 1) + (ReadyHours is null ? 0 : 1), 1, 2, "");
        if (NotReadyHours is { } from)
            CureRangeException.Check("Time of the look before", from, 0, horizonHours, "h");
        var earliest = Math.BitIncrement(NotReadyHours ?? 0);
        if (ReadyHours is { } to)
            CureRangeException.Check("Time of the look (after the one before)", to, earliest, horizonHours, "h");
    }
}
