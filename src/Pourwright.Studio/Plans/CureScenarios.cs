using System.Collections.Concurrent;
using Pourwright.Cure;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Learning;
using Pourwright.Cure.Readiness;
using Pourwright.Planning.CureGaps;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Forecasts.Learning;

namespace Pourwright.Studio.Plans;

/// <summary>What an offering asks of the cure.</summary>
/// <param name="Id">Names offering, resin and what was learned of it; two alike cure alike.</param>
/// <param name="Resin">What is known of its resin.</param>
/// <param name="Layers">Its pours: depth in mm, and h after the first one, which is at 0; at least one.</param>
/// <param name="ChannelWidthMm">Width of the resin between walls of wood; null where none stands beside it.</param>
public sealed record OfferingCure(string Id, ResinKnowledge Resin, IReadOnlyList<(double DepthMm, double AtHours)> Layers, double? ChannelWidthMm)
{
    public bool IsLearned => Resin.Belief.Draws.Observations > 0;
}

/// <summary>A bench as a cure sees it.</summary>
/// <param name="BoardMm">Under the mould, in mm.</param>
/// <param name="Air">From the end of the pour on.</param>
public sealed record BenchCure(double BoardMm, AirCourse Air);

/// <summary>A class that cures: what, where and in which air. Two that are equal are solved once.</summary>
/// <param name="Offering">What.</param>
/// <param name="Site">Where, once anything was learned of the resin; empty before: then all sites are alike.</param>
/// <param name="Benches">The benches that may hold it.</param>
public sealed record ClassCure(OfferingCure Offering, string Site, IReadOnlyList<BenchCure> Benches)
{
    /// <summary>All of it in one word.</summary>
    public string Content { get; } = string.Join('|', [Offering.Id, Site, .. Benches.Select(bench => $"{bench.BoardMm:0.#} {bench.Air.Content}").Distinct().Order(StringComparer.Ordinal)]);

    public bool Equals(ClassCure? other) => other?.Content == Content;

    public override int GetHashCode() => Content.GetHashCode(StringComparison.Ordinal);
}

/// <summary>The ways in which a whole class may cure, asked of the engine that makes the forecasts.</summary>
/// <remarks>
/// A scenario is a draw of all that the pieces of a class share (resin, lot, site, air, heat); what a single pour adds is the
/// spread inside it. 250 draws, each solved twice: 0.1 to 0.3 s of one core for a casting, half of that on two cores, measured; what
/// was solved is kept, so that a room held at one temperature costs that once an offering.
/// </remarks>
public sealed class CureScenarios
{
    /// <summary>Draws of a scenario set: at 0.95 the chance of eight pieces lies within 0.005 of that of 2,000 draws.</summary>
    public const int Draws = 250;

    /// <summary>Sets kept: a season of five sites with a day that repeats needs some hundred.</summary>
    private const int MostKept = 20_000;

    /// <summary>What lots, sites and pours differ by where nothing was learned yet.</summary>
    private static readonly LearningPrior Unlearned = new();

    /// <summary>Colder resin is not poured: the engine takes none, in °C.</summary>
    private const double ColdestPourCelsius = 5;

    /// <summary>Which share of pieces, of which class size, tells which of several benches is the slowest.</summary>
    private const int UsualPieces = 8;

    private readonly ConcurrentDictionary<ClassCure, Lazy<IReadOnlyCollection<ReadyScenario>>> _solved = new();

    /// <summary>How many sets were solved so far.</summary>
    public int Solved => _solved.Count;

    /// <summary>When the pieces of a class may be sawn and planed, in h from the end of its pour; on the slowest of its benches.</summary>
    public IReadOnlyCollection<ReadyScenario> Of(ClassCure cure)
    {
        if (_solved.Count > MostKept) _solved.Clear();
        return _solved.GetOrAdd(cure, asked => new(() => Slowest(asked))).Value;
    }

    private static ReadyScenario[] Slowest(ClassCure cure) => cure.Benches
        .DistinctBy(bench => (bench.BoardMm, bench.Air.Content))
        .Select(bench => Solve(cure.Offering, cure.Site, bench))
        .MaxBy(scenarios => new ClassReadiness(scenarios).LeastHours(UsualPieces, 0.95) ?? double.PositiveInfinity) ?? [Never];

    private static ReadyScenario Never => new(1, double.PositiveInfinity, 0);

    private static ReadyScenario[] Solve(OfferingCure offering, string site, BenchCure bench)
    {
        try
        {
            var piece = Piece(offering, bench);
            return Solve(piece, Shared(offering, site, piece).Draws);
        }
        catch (AggregateException outside) when (outside.InnerException is CureRangeException)
        {
            return [Never];
        }
    }

    private static ReadyScenario[] Solve(PieceCase piece, IReadOnlyList<Departure> draws)
    {
        var parts = draws.Chunk((draws.Count + Environment.ProcessorCount - 1) / Environment.ProcessorCount).ToArray();
        var times = new ReadyTime[parts.Length][];
        Parallel.For(0, parts.Length, i => times[i] = ReadyTimes.Of(piece, parts[i], LadderGate.Handle, Unlearned.PourRateLnSd));
        return [.. times.SelectMany(part => part).Select(time => new ReadyScenario(1, time.MedianHours, time.LnSd))];
    }

    /// <summary>The question to the engine: one piece of a class; hours count from its first pour.</summary>
    internal static PieceCase Piece(OfferingCure offering, BenchCure bench) => new()
    {
        // As forecasts do where nobody measured it: the resin is as warm as the room.
        Layers =
        [
            .. offering.Layers.Select(layer => new PouredLayer(
                layer.AtHours, layer.DepthMm, Math.Max(ColdestPourCelsius, bench.Air.Ambient[0].TemperatureCelsius), offering.Resin.Calibration.Model)),
        ],
        Ambient = bench.Air.Ambient,
        BoardThicknessMm = CureTerms.BoardMm(bench.BoardMm),
        ChannelWidthMm = offering.ChannelWidthMm,
        WorkCelsius = CureTerms.WorkCelsius,
        HorizonHours = CureTerms.HorizonHours + offering.Layers[^1].AtHours,
    };

    /// <summary>Draws of what the pieces share: of a lot not met yet, at its site, and without what is a single pour's own.</summary>
    private static PieceDraws Shared(OfferingCure offering, string site, PieceCase piece)
    {
        var belief = offering.Resin.Belief;
        if (!offering.IsLearned)
        {
            var rateLnSd = offering.Resin.Calibration.RateLnSd;
            return PieceDraws.Of(CureSpread.Default with
            {
                RateLnSd = Math.Sqrt(Square(rateLnSd) + Square(Unlearned.LotRateLnSd) + Square(Unlearned.SiteRateLnSd)), Draws = Draws,
            });
        }
        var shared = ResinBelief.From(belief.Prior with { PourRateLnSd = 0 }, belief.Scales, belief.Draws);
        return shared.Represent(new() { Pour = "next", Lot = "next", Site = site, Piece = piece }, Draws);
    }

    private static double Square(double value) => value * value;
}
