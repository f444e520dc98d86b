namespace Pourwright.Cure;

/// <summary>A question outside the range in which the models may be asked: which quantity, its value, its limits.</summary>
public sealed class CureRangeException : Exception
{
    internal CureRangeException(string quantity, double value, double lowest, double highest, string unit)
        : base($"{quantity} is {value:g6} {unit}; the model holds from {lowest:g6} to {highest:g6} {unit}. "
            + "Give a value in that range.") =>
        (Quantity, Value, Lowest, Highest, Unit) = (quantity, value, lowest, highest, unit);

    /// <summary>What is out of range, in words.</summary>
    public string Quantity { get; }

    /// <summary>The value given, in <see cref="Unit"/>; NaN when no number was given.</summary>
    public double Value { get; }

    /// <summary>Least value accepted, in <see cref="Unit"/>.</summary>
    public double Lowest { get; }

    /// <summary>Greatest value accepted, in <see cref="Unit"/>.</summary>
    public double Highest { get; }

    /// <summary>Unit of the three numbers.</summary>
    public string Unit { get; }

    internal static void Check(string quantity, double value, double lowest, double highest, string unit)
    {
        if (!(value >= lowest && value <= highest))
            throw new CureRangeException(quantity, value, lowest, highest, unit);
    }
}
