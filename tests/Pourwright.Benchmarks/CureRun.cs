using Pourwright.Cure.Heat;

namespace Pourwright.Benchmarks;

/// <summary>Our side of the comparison: one case, solved again and again by one solver.</summary>
internal sealed class CureRun(PeerCase piece)
{
    private const double Seconds = PeerCase.Hours * 3600;

    /// <summary>Greatest departures from the reference, in K and of conversion.</summary>
    public (double Kelvin, double Conversion) Errors(double tolerance, double[] reference)
    {
        var errors = new ReferenceErrors(reference);
        new CureSolver(tolerance).Run(piece.Slab(), piece.Around, 0, Seconds, errors);
        return (errors.Kelvin, errors.Conversion);
    }

    /// <summary>Least processor time of a number of solves, in s.</summary>
    public double LeastSeconds(double tolerance, int solves)
    {
        var (solver, around) = (new CureSolver(tolerance), piece.Around);
        return ProcessorClock.LeastSeconds(solves, () => solver.Run(piece.Slab(), around, 0, Seconds));
    }

    /// <summary>Steps tried in one solve.</summary>
    public long Attempts(double tolerance)
    {
        var solver = new CureSolver(tolerance);
        solver.Run(piece.Slab(), piece.Around, 0, Seconds);
        return solver.StepsAccepted + solver.StepsRefused;
    }

    /// <summary>Least processor time in s of nothing but the derivatives of one solve.</summary>
    /// <remarks>Two a step tried and one at the start, each counted as a plain one: the slopes are overhead.</remarks>
    public double RateSeconds(double tolerance)
    {
        const int repeats = 100;
        var (solver, slab) = (new CureSolver(tolerance), piece.Slab());
        solver.Run(slab, piece.Around, 0, Seconds / 8);
        solver.Prepare(slab, piece.Around);
        var one = ProcessorClock.LeastSeconds(40, () =>
        {
            for (var i = 0; i < repeats; i++)
                solver.Evaluate(slab.State, piece.Kelvin);
        }) / repeats;
        return one * (2 * Attempts(tolerance) + 1);
    }

    // Outputs every half hour; of each, temperature and conversion of every node in turn.
    private sealed class ReferenceErrors(double[] reference) : IStepWatch
    {
        private const double OutputSeconds = 1800;
        private int output;

        public double Kelvin { get; private set; }
        public double Conversion { get; private set; }

        public void Saw(SolvedStep solved)
        {
            for (; (output + 1) * OutputSeconds <= solved.ToSeconds + 1e-6; output++)
                Compare(solved, Math.Min(1, ((output + 1) * OutputSeconds - solved.FromSeconds) / solved.LengthSeconds));
        }

        private void Compare(SolvedStep solved, double at)
        {
            var first = output * 2 * solved.Slab.Nodes;
            for (var node = 0; node < solved.Slab.Nodes; node++)
            {
                Kelvin = Math.Max(Kelvin, Math.Abs(solved.Kelvin(node, at) - reference[first + 2 * node]));
                Conversion = Math.Max(Conversion, Math.Abs(solved.Conversion(node, at) - reference[first + 2 * node + 1]));
            }
        }
    }
}
