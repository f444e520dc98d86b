using MathNet.Numerics.Distributions;

namespace Pourwright.Evidence.Counts;

/// <summary>From low to high, both included; an end may be infinite.</summary>
public readonly record struct Interval(double Low, double High)
{
    public bool Contains(double value) => value >= Low && value <= High;

    /// <summary>Standard deviations of a normal distribution to either side that hold this share of it: 1.959964 at 0.95.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A confidence outside of 0 to 1, both excluded.</exception>
    internal static double Deviations(double confidence) => Normal.InvCDF(0, 1, 1 - Tail(confidence));

    /// <summary>What a two-sided interval leaves at each end: 0.025 at 0.95.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A confidence outside of 0 to 1, both excluded.</exception>
    internal static double Tail(double confidence) => confidence is > 0 and < 1
        ? (1 - confidence) / 2
        : throw new ArgumentOutOfRangeException(nameof(confidence), confidence, "A confidence lies between 0 and 1; 0.95 is usual.");
}

/// <summary>A ratio and the interval of the true one.</summary>
public readonly record struct RatioEstimate(double Ratio, Interval Interval);
