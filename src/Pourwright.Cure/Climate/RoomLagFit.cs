namespace Pourwright.Cure.Climate;

/// <summary>A room's lag as its own readings tell it.</summary>
/// <param name="Lag">The lag; its τ is <see cref="RoomLag.UnknownTauHours"/> where the readings do not tell it.</param>
/// <param name="TellsTau">The readings tell τ, and not only the offset.</param>
/// <param name="ResidualSdKelvin">What is left of a step from one reading to the next, in K.</param>
/// <param name="TauLnSd">Standard error of ln τ; infinite where nothing moved.</param>
public sealed record RoomLagFit(RoomLag Lag, bool TellsTau, double ResidualSdKelvin, double TauLnSd)
{
    private const double LeastTauHours = 0.25, MostTauHours = 96;

    /// <summary>Fewer steps from reading to reading tell nothing. Our choice, no source.</summary>
    private const int LeastSteps = 12;

    /// <summary>A shorter span tells nothing, in h. Our choice, no source: half a day has seen both a warming and a cooling.</summary>
    private const double LeastHours = 12;

    /// <summary>
    /// The room must have stood this far off where its drive would have it, in K (root mean square): else what moves is the
    /// logger's noise, and noise has no memory, which looks like a very quick room. Our choice: some three times that noise.
    /// </summary>
    private const double LeastExcursionKelvin = 0.5;

    /// <summary>A τ known worse than within a factor e^0.5 = 1.6 is not known. Our choice.</summary>
    private const double MostTauLnSd = 0.5;

    /// <summary>Least squares over every step from one reading to the next; null where they are too few.</summary>
    /// <remarks>
    /// Given τ, the next reading is linear in the offset: T_next = A(τ) + offset (1 − e^(−Δt/τ)), A without offset as in
    /// <see cref="RoomLag.Celsius"/>, steps as long or short as they are; τ between 0.25 and 96 h. A room that stands still while
    /// its drive swings is a slow one; one that stands still with its drive tells only its offset.
    /// Noise of the readings makes a room look quicker: give means of an hour rather than readings of minutes.
    /// </remarks>
    /// <param name="readings">In h and °C, times rising.</param>
    /// <param name="drive">What the room followed; null = a constant, which then is the offset, in °C.</param>
    public static RoomLagFit? Of(IReadOnlyList<(double AtHours, double Celsius)> readings, AirDrive? drive = null)
    {
        drive ??= new([(0, 0)]);
        if (readings.Count <= LeastSteps || readings[^1].AtHours - readings[0].AtHours < LeastHours)
            return null;
        var tau = Minimum.Of(tau => Steps.Of(readings, drive, tau).SquareSum, LeastTauHours, MostTauHours);
        var fitted = Steps.Of(readings, drive, tau);
        var tauLnSd = TauLnSdOf(readings, drive, tau, fitted);
        var excursion = Math.Sqrt(readings.SkipLast(1).Average(r => Square(r.Celsius - drive.Celsius(r.AtHours) - fitted.OffsetKelvin)));
        var tells = excursion >= LeastExcursionKelvin && tauLnSd <= MostTauLnSd;
        var taken = tells ? fitted : Steps.Of(readings, drive, RoomLag.UnknownTauHours);
        return new(new(tells ? tau : RoomLag.UnknownTauHours, taken.OffsetKelvin), tells, taken.SdKelvin, tauLnSd);
    }

    // Gauss–Newton about the best τ; of the slope by ln τ only what the offset cannot take up counts.
    private static double TauLnSdOf(
        IReadOnlyList<(double AtHours, double Celsius)> readings, AirDrive drive, double tauHours, Steps fitted)
    {
        const double ln = 0.01;
        double[] Next(double tau) => Steps.Next(readings, drive, new(tau, fitted.OffsetKelvin));
        double[] slope = [.. Next(tauHours * Math.Exp(ln)).Zip(Next(tauHours * Math.Exp(-ln)), (more, less) => (more - less) / (2 * ln))];
        var taken = slope.Zip(fitted.Shares, (s, b) => s * b).Sum() / fitted.Shares.Sum(Square);
        var left = slope.Zip(fitted.Shares, (s, b) => Square(s - taken * b)).Sum();
        return left > 0 ? fitted.SdKelvin / Math.Sqrt(left) : double.PositiveInfinity;
    }

    private static double Square(double value) => value * value;

    /// <summary>All steps at one τ, with the offset that suits them best.</summary>
    /// <param name="OffsetKelvin">In K.</param>
    /// <param name="SquareSum">Of what is left, in K².</param>
    /// <param name="Shares">By how much each step follows the offset: 1 − e^(−Δt/τ).</param>
    private sealed record Steps(double OffsetKelvin, double SquareSum, double[] Shares)
    {
        /// <summary>Two numbers were fitted.</summary>
        public double SdKelvin => Math.Sqrt(SquareSum / (Shares.Length - 2));

        public static Steps Of(IReadOnlyList<(double AtHours, double Celsius)> readings, AirDrive drive, double tauHours)
        {
            double[] shares = [.. readings.Zip(readings.Skip(1), (a, b) => 1 - Math.Exp(-(b.AtHours - a.AtHours) / tauHours))];
            double[] left = [.. Next(readings, drive, new(tauHours, 0)).Zip(readings.Skip(1), (next, reading) => reading.Celsius - next)];
            var offset = shares.Zip(left, (b, y) => b * y).Sum() / shares.Sum(Square);
            return new(offset, shares.Zip(left, (b, y) => Square(y - offset * b)).Sum(), shares);
        }

        /// <summary>What each reading but the first should be, from the one before it, in °C.</summary>
        public static double[] Next(IReadOnlyList<(double AtHours, double Celsius)> readings, AirDrive drive, RoomLag lag) =>
            [.. readings.Zip(readings.Skip(1), (a, b) => lag.Celsius(drive, a.Celsius, a.AtHours, b.AtHours))];
    }
}
