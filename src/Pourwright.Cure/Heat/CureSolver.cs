namespace Pourwright.Cure.Heat;

/// <summary>Integrates heat and cure through the depth of a slab.</summary>
/// <remarks>
/// ρ c ∂T/∂t = ∂/∂x(k ∂T/∂x) + ρ H r(α, T) − s (T − T_air), ∂α/∂t = r(α, T); at both faces the flux outward is h (T − T_air).
/// In time: Rodas3, an L-stable Rosenbrock method of four stages, order 3 with an embedded order 2 [Sandu1997]. It needs no
/// iteration, so a step cannot fail to converge; it can only be refused and made shorter.
/// A run ends with numbers or with <see cref="CureUnsolvedException"/>: a step of <see cref="LeastStepSeconds"/> is taken as it
/// is, and attempts are bounded by <see cref="MostAttempts"/>, with four more for each bend of the ambient. A solver keeps its
/// buffers and may be used again, by one thread at a time.
/// </remarks>
/// <param name="tolerance">Greatest estimated error of conversion in one step; temperature is held to 30 K times it.</param>
public sealed partial class CureSolver(double tolerance = CureSolver.DefaultTolerance)
{
    /// <summary>
    /// Error of conversion allowed in one step: chosen by measurement, so that every reference case holds its tolerance.
    /// </summary>
    public const double DefaultTolerance = 2e-5;

    /// <summary>
    /// Error of conversion allowed in one step of a draw, where the spread is a thousand times wider than the error.
    /// </summary>
    public const double LooseTolerance = 1e-4;

    /// <summary>Shortest step that is still refused, in s (our choice: a runaway at 250 °C moves in about 10 s).</summary>
    public const double LeastStepSeconds = 1e-3;

    /// <summary>Attempts a run may make (our choice: a runaway takes about a thousand).</summary>
    public const int MostAttempts = 50_000;

    private const double FirstStepSeconds = 60; // our choice: some twenty minutes may be right, or a second
    private const double LongestStepSeconds = 24 * 3600;
    private const double LeastErrorOfATrend = 0.01; // below, errors say nothing of a trend (common practice, no source)

    private int attemptsLeft;
    private double lastError, lastLength;

    /// <summary>Steps accepted since this solver was made.</summary>
    public long StepsAccepted { get; private set; }

    /// <summary>Steps refused since this solver was made.</summary>
    public long StepsRefused { get; private set; }

    /// <summary>Brings a slab from one time to another, in s from the first pour, and shows every step to the watches.</summary>
    /// <exception cref="CureUnsolvedException">The bound on attempts was reached, or the state is no longer finite.</exception>
    public void Run(
        Slab slab, Surroundings surroundings, double fromSeconds, double toSeconds, params ReadOnlySpan<IStepWatch> watches)
    {
        Prepare(slab, surroundings);
        Linearise(before, surroundings.Ambient.Kelvin(fromSeconds));
        var (now, wish) = (fromSeconds, FirstStepSeconds);
        (attemptsLeft, lastLength) = (MostAttempts, 0);
        while (now < toSeconds)
        {
            var air = surroundings.Ambient.LineFrom(now);
            wish = RunAlong(air, now, Math.Min(air.ToSeconds, toSeconds), wish, watches);
            now = Math.Min(air.ToSeconds, toSeconds);
            attemptsLeft += 4;
        }
        before.CopyTo(slab.State, slab.Nodes);
    }

    // One straight piece of the ambient: no step may cross its end. Returns the length the next step should have.
    private double RunAlong(AmbientLine air, double now, double end, double wish, ReadOnlySpan<IStepWatch> watches)
    {
        while (now < end)
        {
            var length = Fitted(wish, end - now);
            var error = Attempt(now, length, air);
            if (!Acceptable(error, now, length))
            {
                wish = Math.Max(LeastStepSeconds, length * Growth(error, 1));
                StepsRefused++;
                continue;
            }
            var next = length == end - now ? end : now + length;
            Accept(now, length, error, air.Kelvin(next), watches);
            // A step cut short by a bend says little against the length that went before.
            var stands = length < wish && error <= 1 ? wish : LeastStepSeconds;
            (now, wish) = (next, Math.Max(length * GrowthForeseen(error, length), stands));
        }
        return wish;
    }

    private bool Acceptable(double error, double now, double length)
    {
        if (--attemptsLeft < 0 || length <= LeastStepSeconds && !double.IsFinite(error))
            throw new CureUnsolvedException(now, length);
        return error <= 1 || length <= LeastStepSeconds;
    }

    private void Accept(double now, double length, double error, double airKelvin, ReadOnlySpan<IStepWatch> watches)
    {
        StepsAccepted++;
        if (error > 1 || !TryCarryRates(airKelvin))
            Linearise(after, airKelvin);
        step.Set(before, after, now, length);
        foreach (var watch in watches)
            watch.Saw(step);
        (before, after) = (after, before);
    }

    // The error of a step of order 2 grows with the cube of its length.
    private static double Growth(double error, double most) => Math.Clamp(0.9 / Math.Cbrt(error), 0.2, most);

    // After an accepted step, the shorter of two guesses: errors stay as they are, or they go on growing as over the last two
    // steps [Gustafsson1994]. The second sees a peak coming that the first runs into.
    private double GrowthForeseen(double error, double length)
    {
        var trend = lastLength > 0 ? length / lastLength * Math.Cbrt(lastError / error) : 1;
        (lastError, lastLength) = (Math.Max(error, LeastErrorOfATrend), length);
        return Math.Min(Growth(error, 4), Math.Max(0.2, trend * Growth(error, double.MaxValue)));
    }

    // Not past the end, and no sliver of a step before it.
    private static double Fitted(double wish, double left)
    {
        var length = Math.Min(wish, LongestStepSeconds);
        return length >= left ? left : Math.Min(length, Math.Max(left / 2, LeastStepSeconds));
    }
}
