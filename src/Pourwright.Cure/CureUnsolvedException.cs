namespace Pourwright.Cure;

/// <summary>The solver reached its bounds without an answer; no input inside the stated ranges is known to lead here.</summary>
public sealed class CureUnsolvedException : Exception
{
    internal CureUnsolvedException(double atSeconds, double stepSeconds)
        : base($"No finite step of {stepSeconds:g3} s could be taken at {atSeconds / 3600:g6} h; "
            + "the bounds on attempts and step length are fixed, so check the rate constants and the heat of reaction.") =>
        (AtSeconds, StepSeconds) = (atSeconds, stepSeconds);

    /// <summary>How far the run came, in s from the first pour.</summary>
    public double AtSeconds { get; }

    /// <summary>The step that failed, in s.</summary>
    public double StepSeconds { get; }
}
