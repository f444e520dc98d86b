namespace Pourwright.Benchmarks;

/// <summary>Our solver against a general-purpose one at equal error: processor time, one thread, rounds in turn.</summary>
/// <remarks>
/// Each side takes the cheapest of its own ladder of tolerances that stays inside the errors at every node and half hour of four
/// days, and keeps its memory from solve to solve. The trajectory that both are held against is the peer's at a relative
/// tolerance of 1e-12; our own tightest run must lie on it.
/// </remarks>
internal static class PeerBenchmark
{
    private const double KelvinAllowed = 0.03;
    private const double ConversionAllowed = 1e-3;
    private const int Rounds = 15;
    private const int SolvesOfARound = 40;
    private const double CpuBar = 0.10;
    private const double OwnRatesBar = 3;

    public static bool Run()
    {
        if (CvodePeer.Build() is { } why)
        {
            Console.WriteLine($"The peer cannot be built, so nothing is compared with it. {why}");
            Console.WriteLine(Figure.Invariant($"cure_over_cvode_cpu unmeasured {CpuBar:0.000} short"));
            return false;
        }
        var measured = new[] { PeerCase.Mild, PeerCase.Hot, PeerCase.Broken }.Select(Measure).ToArray();
        Console.WriteLine();
        return measured.Aggregate(true, (ok, m) => ok
            & Figure.AtMost($"cure_over_cvode_cpu_{m.Name}", m.OverPeer, CpuBar)
            & Figure.AtMost($"cure_over_own_rates_{m.Name}", m.OverOwnRates, OwnRatesBar)
            & Figure.AtMost($"cure_tight_off_reference_{m.Name}_millikelvin", m.TightKelvin * 1000, 0.5));
    }

    private static (string Name, double OverPeer, double OverOwnRates, double TightKelvin) Measure(PeerCase piece)
    {
        using var peer = CvodePeer.Start(piece, KelvinAllowed, ConversionAllowed);
        var ours = new CureRun(piece);
        var tight = ours.Errors(1e-9, peer.Reference);
        var tolerance = Cheapest(ours, peer.Reference);
        var errors = ours.Errors(tolerance, peer.Reference);

        var (peerBest, oursBest) = (double.PositiveInfinity, double.PositiveInfinity);
        List<double> ratios = [];
        for (var round = 0; round < Rounds; round++)
        {
            var (theirs, own) = (peer.LeastSeconds(SolvesOfARound), ours.LeastSeconds(tolerance, SolvesOfARound));
            ratios.Add(own / theirs);
            (peerBest, oursBest) = (Math.Min(peerBest, theirs), Math.Min(oursBest, own));
        }
        var (attempts, rates) = (ours.Attempts(tolerance), ours.RateSeconds(tolerance));

        Console.WriteLine(Figure.Invariant($"{piece.Name}: peer {peerBest * 1e6:0} us, {peer.Steps} steps, {peer.RightHandSides} right-hand sides, tolerance {peer.Tolerance:0.0e0}, off by {peer.ErrorKelvin:0.0000} K and {peer.ErrorConversion:0.00000}"));
        Console.WriteLine(Figure.Invariant($"  ours {oursBest * 1e6:0} us, {attempts} attempts, {rates * 1e6:0} us of rates, tolerance {tolerance:0.0e0}, off by {errors.Kelvin:0.0000} K and {errors.Conversion:0.00000}; tight {tight.Kelvin:0.000000} K and {tight.Conversion:0.00000000}"));
        Console.WriteLine(Figure.Invariant($"  rounds: {string.Join(' ', ratios.Order().Select(r => Figure.Invariant($"{r:0.000}")))}"));
        return (piece.Name, oursBest / peerBest, oursBest / rates, tight.Kelvin);
    }

    // Every attempt costs the same, so the fewest attempts are the cheapest, whatever else runs on the machine.
    private static double Cheapest(CureRun ours, double[] reference) => Enumerable.Range(0, 41)
        .Select(step => Math.Pow(10, -2 - step / 8.0))
        .Where(tolerance => ours.Errors(tolerance, reference) is { Kelvin: <= KelvinAllowed, Conversion: <= ConversionAllowed })
        .MinBy(ours.Attempts);
}
