namespace Pourwright.Cure.Climate;

/// <summary>How far forecasts of a room were off at one lead.</summary>
/// <param name="LeadHours">How long ahead, in h.</param>
/// <param name="MeanSquareKelvin2">Mean square of the errors, in K².</param>
/// <param name="Days">How many independent errors that is worth: days, however often the room was read.</param>
public readonly record struct LeadError(double LeadHours, double MeanSquareKelvin2, double Days);

/// <summary>How far a room's air may be from its forecast: an Ornstein–Uhlenbeck process that starts at the last reading.</summary>
/// <remarks>
/// Variance after t hours: σ² (1 − e^(−2t/τ)) [UhlenbeckOrnstein1930]: it grows as a random walk and comes to rest where the room's
/// own habits hold it.
/// </remarks>
/// <param name="SdKelvin">σ: standard deviation long after the last reading, in K.</param>
/// <param name="TauHours">τ: after which an error is forgotten, in h.</param>
public sealed record AirDoubt(double SdKelvin, double TauHours)
{
    private const double LeastTauHours = 3, MostTauHours = 1000;

    /// <summary>
    /// As many days as the readings must bring to count as much as what is believed without them. Our choice, no source.
    /// </summary>
    private const double PriorDays = 2;

    /// <summary>The leads that are looked at, in h.</summary>
    public static IReadOnlyList<double> LeadsHours { get; } = [1, 3, 6, 12, 24, 48];

    /// <summary>A room that has not shown how steady it is: 1 K after 6 h and 2.5 K after 48 h. Common practice, no source.</summary>
    /// <remarks>
    /// σ² (1 − e^(−12/τ)) = 1 and σ² (1 − e^(−96/τ)) = 6.25. With x = e^(−12/τ) the second is (1 − x⁸)/(1 − x) = 1 + x + … + x⁷ =
    /// 6.25 times the first: x = 0.928018, τ = 12/ln(1/x) = 160.6 h, σ = 1/√(1 − x) = 3.727 K.
    /// </remarks>
    public static AirDoubt Default { get; } = new(3.727, 160.6);

    /// <summary>Standard deviation some hours after the last reading, in K.</summary>
    public double AfterKelvin(double hours) => SdKelvin * Math.Sqrt(1 - Math.Exp(-2 * hours / TauHours));

    /// <summary>Standard deviation between two readings, in K, from how long the first is ago and how long the next is to come.</summary>
    /// <remarks>
    /// Of the process with both ends known: σ² (1 − e^(−2a/τ)) (1 − e^(−2b/τ)) / (1 − e^(−2(a+b)/τ)), a bridge. Widest in the middle,
    /// nothing at the ends.
    /// </remarks>
    public double BetweenKelvin(double sinceHours, double untilHours) => sinceHours + untilHours <= 0
        ? 0
        : AfterKelvin(sinceHours) * AfterKelvin(untilHours) / AfterKelvin(sinceHours + untilHours);

    /// <summary>The doubt that suits the errors made so far, and <see cref="Default"/> as far as they are few.</summary>
    /// <remarks>
    /// Greatest likelihood of normal errors at each lead, the default counting as <see cref="PriorDays"/> days of each: with w days and
    /// the mean square m of both together, and v = σ² g(τ), least Σ w (ln v + m/v). Given τ, σ² = Σ (w m/g) / Σ w. A room that stood
    /// still for a week is believed to be steadier, never to be certain; and one that was read for an hour is as doubtful tomorrow as
    /// any, for a lead of no days counts with what is believed.
    /// </remarks>
    public static AirDoubt Of(IEnumerable<LeadError> errors)
    {
        LeadError[] pooled = [.. errors.Select(Pooled)];
        if (!pooled.Any(error => error.Days > PriorDays))
            return Default;
        var tau = Minimum.Of(tau => pooled.Sum(e => e.Days * Math.Log(Variance(pooled, tau) * Growth(e, tau))), LeastTauHours, MostTauHours);
        return new(Math.Sqrt(Variance(pooled, tau)), tau);
    }

    private static LeadError Pooled(LeadError error)
    {
        var (believed, days) = (Default.AfterKelvin(error.LeadHours), error.Days + PriorDays);
        return new(error.LeadHours, (error.Days * error.MeanSquareKelvin2 + PriorDays * believed * believed) / days, days);
    }

    private static double Growth(LeadError error, double tauHours) => 1 - Math.Exp(-2 * error.LeadHours / tauHours);

    private static double Variance(LeadError[] pooled, double tauHours) =>
        pooled.Sum(e => e.Days * e.MeanSquareKelvin2 / Growth(e, tauHours)) / pooled.Sum(e => e.Days);
}
