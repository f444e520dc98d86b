namespace Pourwright.Evidence.Reconciling;

/// <summary>Whether what came in is found again.</summary>
public enum Closure
{
    /// <summary>Unexplained is no more than scales and pots leave open.</summary>
    Closes,
    /// <summary>More came in than is found again.</summary>
    Missing,
    /// <summary>More is found than came in: as much an error, as a wrong lot written down or a draw not recorded.</summary>
    TooMuch,
    /// <summary>What is left was not counted, so nothing can be said.</summary>
    NotCounted,
}

/// <summary>What scales and pots leave open of a balance.</summary>
/// <param name="Weighings">Readings of a scale that went into it.</param>
/// <param name="ResolutionMg">Step of the scale's display, in mg; of the coarsest where there were several.</param>
/// <param name="Pots">Pots and cans that were emptied.</param>
/// <param name="PotResidueMg">What a pot is stated to keep back, in mg.</param>
/// <exception cref="ArgumentOutOfRangeException">A negative number.</exception>
public sealed record WeighingTolerance(int Weighings, long ResolutionMg, int Pots = 0, long PotResidueMg = 0)
{
    /// <summary>In mg: each weighing is right to its step, each pot keeps its residue. Common practice, no source; no standard fixes it.</summary>
    public long Mg { get; } = checked(NotNegative(Weighings) * NotNegative(ResolutionMg) + NotNegative(Pots) * NotNegative(PotResidueMg));

    private static long NotNegative(long value) => value >= 0
        ? value
        : throw new ArgumentOutOfRangeException(nameof(value), value, "Numbers and masses of a tolerance are 0 or more.");
}

/// <summary>The balance of a lot or a mix, in whole mg: received = used + left + waste + unexplained.</summary>
/// <param name="Name">Of the lot or mix.</param>
/// <param name="ReceivedMg">What came in: delivered or filled in, or weighed into the cup.</param>
/// <param name="UsedMg">Drawn into mixes and other containers, or poured into pieces.</param>
/// <param name="LeftMg">Counted as still there; null where nobody counted. A mix that is used up has 0 left.</param>
/// <param name="WasteMg">Recorded as thrown away, spilt or scraped out.</param>
/// <exception cref="ArgumentOutOfRangeException">A negative mass.</exception>
public sealed record MassReconciliation(string Name, long ReceivedMg, long UsedMg, long? LeftMg, long WasteMg, WeighingTolerance Tolerance)
{
    public long ReceivedMg { get; } = Mass(ReceivedMg);
    public long UsedMg { get; } = Mass(UsedMg);
    public long? LeftMg { get; } = LeftMg is { } left ? Mass(left) : null;
    public long WasteMg { get; } = Mass(WasteMg);

    /// <summary>In mg, positive where mass is missing; null where what is left was not counted.</summary>
    public long? UnexplainedMg => LeftMg is { } left ? checked(ReceivedMg - UsedMg - left - WasteMg) : null;

    public Closure Closure => UnexplainedMg switch
    {
        null => Closure.NotCounted,
        var mg when mg > Tolerance.Mg => Closure.Missing,
        var mg when mg < -Tolerance.Mg => Closure.TooMuch,
        _ => Closure.Closes,
    };

    private static long Mass(long mg) => mg >= 0
        ? mg
        : throw new ArgumentOutOfRangeException(nameof(mg), mg, "A mass is 0 mg or more; what is unexplained is computed, with its sign.");
}
