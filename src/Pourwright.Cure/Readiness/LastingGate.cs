using Pourwright.Cure.Heat;

namespace Pourwright.Cure.Readiness;

/// <summary>Open from the last time on after which its measure stays at or above zero; infinite while it does not.</summary>
/// <remarks>The last time, because warming air or a second pour can take a piece back through its glass transition.</remarks>
/// <param name="measure">Of a step and a fraction of it, 0 at its start and 1 at its end.</param>
internal sealed class LastingGate(Func<SolvedStep, double, double> measure)
{
    public double OpenSeconds { get; private set; } = double.PositiveInfinity;

    public void Saw(SolvedStep solved) => Saw(solved, measure(solved, 0), measure(solved, 0.5), measure(solved, 1));

    /// <summary>As the other, with the measure already taken at the start, the middle and the end.</summary>
    public void Saw(SolvedStep solved, double start, double middle, double end)
    {
        if (end < 0)
            OpenSeconds = double.PositiveInfinity;
        else if (middle < 0)
            OpenSeconds = Crossing(solved, 0.5, 1);
        else if (start < 0)
            OpenSeconds = Crossing(solved, 0, 0.5);
        else
            OpenSeconds = Math.Min(OpenSeconds, solved.FromSeconds);
    }

    private double Crossing(SolvedStep solved, double closed, double open)
    {
        while (open - closed > 1e-9)
        {
            var half = (closed + open) / 2;
            if (measure(solved, half) < 0)
                closed = half;
            else
                open = half;
        }
        return solved.FromSeconds + open * solved.LengthSeconds;
    }
}
