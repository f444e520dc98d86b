namespace Pourwright.Benchmarks;

/// <summary>Our solver against a general-purpose one at equal error: processor time, one thread, rounds in turn.</summary>
/// <remarks>
/// Each side takes the cheapest of its own ladder of tolerances that stays inside the errors at every node and half hour of four
/// days, and keeps its memory from solve to solve. The trajectory that both are held against is the peer's at a relative
/// tolerance of 1e-12; our own tightest run must lie on it. Figures are medians of the ratios of the rounds: one side of a round
/// alone says nothing on a machine with other work.
/// </remarks>
internal static class PeerBenchmark
{
    private const double KelvinAllowed = 0.03;
    private const double ConversionAllowed = 1e-3;
    private const int Rounds = 15;
    private const int SolvesOfARound = 40;
    private const int WarmUpSolves = 3000;
    private const double CpuBar = 0.10;
    private const double OwnRatesBar = 3;
    private const double TightMillikelvinBar = 0.5;

    public static IEnumerable<Figure> Run()
    {
        if (CvodePeer.Build() is { } why)
        {
            Console.WriteLine($"The peer cannot be built, so nothing is compared with it. {why}");
            return [Figure.AtMost("cure_over_cvode_cpu", double.NaN, CpuBar)];
        }
        return [.. new[] { PeerCase.Mild, PeerCase.Hot, PeerCase.Broken }.SelectMany(Measure)];
    }

    private static Figure[] Measure(PeerCase piece)
    {
        using var peer = CvodePeer.Start(piece, KelvinAllowed, ConversionAllowed);
        var ours = new CureRun(piece);
        var tight = ours.Errors(1e-9, peer.Reference);
        var tolerance = Cheapest(ours, peer.Reference);
        var errors = ours.Errors(tolerance, peer.Reference);

        ours.LeastSeconds(tolerance, WarmUpSolves);
        var rounds = Enumerable.Range(0, Rounds).Select(_ => new Round(
            peer.LeastSeconds(SolvesOfARound), ours.LeastSeconds(tolerance, SolvesOfARound), ours.RateSeconds(tolerance))).ToArray();

        Figure.Print($"{piece.Name}, best of {Rounds} rounds of {SolvesOfARound} solves:");
        Figure.Print($"  peer {rounds.Min(r => r.Peer) * 1e6:0} us, {peer.Steps} steps, {peer.RightHandSides} derivatives");
        Figure.Print($"    tolerance {peer.Tolerance:0.0e0}, off by {peer.ErrorKelvin:0.0000} K and {peer.ErrorConversion:0.00000}");
        Figure.Print($"  ours {rounds.Min(r => r.Ours) * 1e6:0} us, {ours.Attempts(tolerance)} steps tried");
        Figure.Print($"    tolerance {tolerance:0.0e0}, off by {errors.Kelvin:0.0000} K and {errors.Conversion:0.00000}");
        Figure.Print($"    derivatives alone {rounds.Min(r => r.Rates) * 1e6:0} us");
        Figure.Print($"  ours over peer by round: {string.Join(' ', rounds.Select(r => Figure.Invariant($"{r.Ours / r.Peer:0.000}")))}");
        Console.WriteLine();
        return [
            Figure.AtMost($"cure_over_cvode_cpu_{piece.Name}", Median(rounds, r => r.Ours / r.Peer), CpuBar),
            Figure.AtMost($"cure_over_own_rates_{piece.Name}", Median(rounds, r => r.Ours / r.Rates), OwnRatesBar),
            Figure.AtMost($"cure_tight_off_reference_mk_{piece.Name}", tight.Kelvin * 1000, TightMillikelvinBar)];
    }

    private static double Median(Round[] rounds, Func<Round, double> ratio) =>
        rounds.Select(ratio).Order().ElementAt(rounds.Length / 2);

    // Every attempt costs the same, so the fewest attempts are the cheapest, whatever else runs on the machine.
    private static double Cheapest(CureRun ours, double[] reference) => Enumerable.Range(0, 81)
        .Select(step => Math.Pow(10, -2 - step / 16.0))
        .Where(tolerance => ours.Errors(tolerance, reference) is { Kelvin: <= KelvinAllowed, Conversion: <= ConversionAllowed })
        .MinBy(ours.Attempts);

    // Processor time of one solve, in s.
    private readonly record struct Round(double Peer, double Ours, double Rates);
}
