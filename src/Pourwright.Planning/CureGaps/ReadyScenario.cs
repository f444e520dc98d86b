namespace Pourwright.Planning.CureGaps;

/// <summary>One of the ways things may go for a whole class at once: its resin, its lot, its site, the air.</summary>
public sealed record ReadyScenario
{
    /// <param name="weight">How likely against the others, above 0; only its share of the sum counts.</param>
    /// <param name="nominalHours">
    /// Elapsed h from the end of the pour's slot until a piece of the nominal mix is ready; infinite where it never is.
    /// </param>
    /// <param name="lnSd">
    /// Standard deviation of the logarithm of that time from one pour to the next of the same class: mixing, depth, place on the
    /// bench. 0.10 is about 10 %; 0 makes all pieces ready at once.
    /// </param>
    /// <exception cref="ArgumentOutOfRangeException">A weight or a time that is not above 0, a spread below 0 or without end.</exception>
    public ReadyScenario(double weight, double nominalHours, double lnSd)
    {
        if (!(weight > 0 && double.IsFinite(weight)))
            throw new ArgumentOutOfRangeException(nameof(weight), weight, "A scenario weighs more than 0; leave out one that cannot be.");
        if (!(nominalHours > 0))
            throw new ArgumentOutOfRangeException(
                nameof(nominalHours), nominalHours, "A piece is ready after more than 0 h, or never: infinity.");
        if (!(lnSd >= 0 && double.IsFinite(lnSd)))
            throw new ArgumentOutOfRangeException(nameof(lnSd), lnSd, "A spread is 0 or more.");
        (Weight, NominalHours, LnSd) = (weight, nominalHours, lnSd);
    }

    public double Weight { get; }

    public double NominalHours { get; }

    public double LnSd { get; }
}
