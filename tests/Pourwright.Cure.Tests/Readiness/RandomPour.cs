using Pourwright.Cure.Heat;
using Pourwright.Cure.Kinetics;
using Pourwright.Cure.Readiness;

namespace Pourwright.Cure.Tests.Readiness;

/// <summary>A casting that somebody might pour, and many that nobody should, watched at every step and node.</summary>
/// <remarks>
/// One to four pours of 0.5 to 150 mm at 5 to 60 °C, on a board or none, in a room that wanders between -10 and 50 °C. Both
/// resins, far departed from: rates a factor 18 either way, E 30 to 65 kJ/mol, m 0.5 to 2, n 0.9 to 3, heat 150 to 500 kJ/kg,
/// every kind of diffusion control. Half run past 100 °C, many hardly begin. The same seed is the same casting on every machine.
/// </remarks>
internal sealed class RandomPour : IStepWatch
{
    /// <summary>Greatest heat unaccounted for, as a share of all that was set free or crossed a face.</summary>
    public const double MostImbalance = 1e-3;

    /// <summary>More steps than this are a hang in the making (our choice: the worst of ten thousand takes half of it).</summary>
    public const int MostSteps = 50_000;

    // The balance is drawn where there is heat to account for: in steps of up to an hour (longer ones come when hardly anything
    // happens any more) and in castings of 10 mm and more (a film follows the room within a minute). Elsewhere what is lost is a
    // difference of millikelvins over days, finer than the tolerance of the solver.
    private const double FilmMetres = 0.010;
    private const double BalancedSeconds = 3600;

    private const double ZeroCelsius = 273.15;
    private const double ColdestKelvin = ZeroCelsius - 11; // the coldest room, and a degree

    private readonly Random random;
    private readonly Surroundings around;
    private readonly List<string> faults = [];
    private double[] conversionBefore = [];
    private double unaccounted, turnover;

    private RandomPour(int seed)
    {
        (Seed, random) = (seed, new Random(seed));
        around = new(Room(), Rarely() ? 0 : Between(2, 50), Rarely() ? 0 : Between(2, 50), Rarely() ? Between(0, 500) : 0);
    }

    public int Seed { get; }

    /// <summary>Steps tried.</summary>
    public long Steps { get; private set; }

    /// <summary>Heat that nothing accounts for, as a share of all that was set free or crossed a face.</summary>
    public double Imbalance { get; private set; }

    /// <summary>Hottest node ever, in °C.</summary>
    public double PeakCelsius { get; private set; } = double.NegativeInfinity;

    /// <summary>What must never be, and was.</summary>
    public IReadOnlyList<string> Faults => faults;

    public static RandomPour Solved(int seed)
    {
        var pour = new RandomPour(seed);
        try
        {
            pour.Solve();
        }
        catch (CureUnsolvedException e)
        {
            pour.faults.Add(e.Message);
        }
        return pour;
    }

    public override string ToString() => $"seed {Seed}: {string.Join("; ", faults.Take(3))}";

    public void Saw(SolvedStep solved)
    {
        for (var node = 0; node < solved.Slab.Nodes; node++)
            See(solved, node);
        Balance(solved);
    }

    private void Solve()
    {
        var solver = new CureSolver(Rarely() ? CureSolver.DefaultTolerance : CureSolver.LooseTolerance);
        var resins = new[] { Resin(), Resin() };
        var (slab, hours) = (Board(), 0.0);
        for (var pours = random.Next(1, 5); pours > 0; pours--)
        {
            slab = Poured(slab, resins[random.Next(2)]);
            conversionBefore = [.. Enumerable.Range(0, slab.Nodes).Select(slab.Conversion)];
            var until = hours + (pours == 1 ? Between(24, 400) : Logarithmic(0.05, 60));
            solver.Run(slab, around, hours * 3600, until * 3600, this);
            hours = until;
        }
        Steps = solver.StepsAccepted + solver.StepsRefused;
        Imbalance = Math.Abs(unaccounted) / turnover;
        if (!(Imbalance <= MostImbalance))
            faults.Add($"{Imbalance:0.0e0} of the heat is unaccounted for");
        if (Steps > MostSteps)
            faults.Add($"{Steps} steps");
    }

    private void See(SolvedStep solved, int node)
    {
        var (kelvin, conversion) = (solved.Kelvin(node, 1), solved.Conversion(node, 1));
        if (!double.IsFinite(kelvin) || kelvin < ColdestKelvin)
            faults.Add($"{kelvin} K at node {node} at {solved.ToSeconds / 3600:0.00} h");
        if (!(conversion >= conversionBefore[node] && conversion <= 1))
            faults.Add($"conversion {conversionBefore[node]} to {conversion} at node {node} at {solved.ToSeconds / 3600:0.00} h");
        conversionBefore[node] = conversion;
        PeakCelsius = Math.Max(PeakCelsius, kelvin - ZeroCelsius);
    }

    // Heat set free = heat stored + heat lost, the last by Simpson's rule, which is exact for the cubic that a step is.
    private void Balance(SolvedStep solved)
    {
        var (start, middle, end) = (Watts(solved, 0), Watts(solved, 0.5), Watts(solved, 1));
        var (slab, released, stored) = (solved.Slab, 0.0, 0.0);
        for (var node = 0; node < slab.Nodes; node++)
        {
            released += slab.HeatPerConversion[node] * (solved.Conversion(node, 1) - solved.Conversion(node, 0));
            stored += slab.Capacity[node] * (solved.Kelvin(node, 1) - solved.Kelvin(node, 0));
        }
        turnover += released + solved.LengthSeconds / 2 * (Math.Abs(start) + Math.Abs(end));
        if (solved.LengthSeconds <= BalancedSeconds && slab.HeightMetres[slab.Nodes - 1] >= FilmMetres)
            unaccounted += released - stored - solved.LengthSeconds / 6 * (start + 4 * middle + end);
    }

    private double Watts(SolvedStep solved, double at)
    {
        var (slab, air) = (solved.Slab, around.Ambient.Kelvin(solved.FromSeconds + at * solved.LengthSeconds));
        var watts = around.BaseWPerM2K * (solved.Kelvin(0, at) - air)
            + around.TopWPerM2K * (solved.Kelvin(slab.Nodes - 1, at) - air);
        for (var node = 0; around.SideWPerM3K > 0 && node < slab.Nodes; node++)
            watts += around.SideWPerM3K * slab.ResinMetres[node] * (solved.Kelvin(node, at) - air);
        return watts;
    }

    private Slab? Board() => Rarely()
        ? null
        : Slab.Of(new(Between(0.003, 0.1), random.Next(Slab.LeastCells, 16), Material.WoodBasedBoard), Celsius(-10, 50));

    private Slab Poured(Slab? below, Material resin)
    {
        var depthMetres = Logarithmic(0.0005, 0.150);
        var (layer, kelvin) = (new SlabLayer(depthMetres, Cells(depthMetres), resin), Celsius(5, 60));
        return below is null ? Slab.Of(layer, kelvin) : below.With(layer, kelvin);
    }

    // As coarse as the draws of a forecast, or twice as coarse.
    private int Cells(double depthMetres) => (int)Math.Ceiling(Math.Clamp(depthMetres * 1000 / random.Next(1, 4), 12, 128));

    private AmbientCourse Room()
    {
        var (hours, points) = (-5.0, new List<(double, double)>());
        for (var n = random.Next(1, 40); n > 0; n--, hours += Logarithmic(0.1, 24))
            points.Add((hours * 3600, Celsius(-10, 50)));
        return new(points, Rarely() ? 1e-9 : 0.2);
    }

    // One of the two resins, departed from as a draw of a forecast is, only farther.
    private Material Resin()
    {
        var resin = random.Next(2) == 0 ? ResinCureModel.DeepCasting : ResinCureModel.FastCoating;
        var departed = resin.WithRateScale(Logarithmic(0.055, 18));
        var chemistry = departed.Reaction.Chemistry with
        {
            E1JoulesPerMole = Between(30e3, 65e3), E2JoulesPerMole = Between(30e3, 65e3),
            M = Between(0.5, 2), N = Between(0.9, 3),
        };
        var glass = departed.Reaction.Glass with { CuredKelvin = Between(300, 400), Lambda = Between(0.2, 0.8) };
        var law = new CureReaction(chemistry, Diffusion(), glass);
        return new(Between(1000, 1300), Between(1400, 2200), Between(0.1, 0.4), Between(150e3, 500e3), law);
    }

    private DiffusionControl Diffusion() => random.Next(3) switch
    {
        0 => new Rabinowitch(Logarithmic(1, 1000), Rarely() ? 20e3 : 0, Between(0.1, 0.5)),
        1 => new ChernPoehlein(Between(10, 60), Between(-0.8, -0.4), 0.005),
        _ => new NoDiffusionControl(),
    };

    private bool Rarely() => random.Next(5) == 0;

    private double Celsius(double low, double high) => ZeroCelsius + Between(low, high);

    private double Between(double low, double high) => low + (high - low) * random.NextDouble();

    private double Logarithmic(double low, double high) => low * Math.Pow(high / low, random.NextDouble());
}
