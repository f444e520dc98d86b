using System.Collections.Concurrent;
using Pourwright.Cure;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;

namespace Pourwright.Studio.Plans;

/// <summary>How far a cure room may be warmed, and what its pieces need then.</summary>
/// <remarks>
/// As far as advice for a single piece goes: no room beyond what people, wood and data sheets bear, and no pour whose hot draws
/// pass the limits of peak and margin with it.
/// </remarks>
internal sealed class SeasonWarming(PlannedSeason season) : IWarming
{
    private const double StepKelvin = 0.5, MostStepsKelvin = 10;

    /// <summary>Enough for a limit to half a kelvin, as advice searches.</summary>
    private const int DrawsOfSearch = 40;

    private readonly SeasonCure _cure = (SeasonCure)season.Case.Cure;
    private readonly PourLimits _limits = new();
    private readonly ConcurrentDictionary<ClassCure, double> _most = new();
    private readonly ConcurrentDictionary<RoomWarming, ICureGaps> _warmed = new();

    /// <inheritdoc/>
    public double MostKelvin(int offering, int site, int pourSlot, int pieces) => _most.GetOrAdd(_cure.CureOf(offering, site, pourSlot), Most);

    /// <inheritdoc/>
    public ICureGaps Warmed(RoomWarming warming) => _warmed.GetOrAdd(warming, asked => _cure.With(new(
        season.Facts.Sites[asked.Site].Name, asked.Kelvin,
        season.Days[asked.Site].StartMs[2 * asked.FirstDay], season.Days[asked.Site].EndMs[2 * asked.LastDay + 1])));

    private double Most(ClassCure cure) => cure.Benches.Select(bench => Most(cure.Offering, bench)).DefaultIfEmpty(0).Min();

    private double Most(OfferingCure offering, BenchCure bench)
    {
        var (most, warmest) = (0.0, bench.Air.Ambient.Max(point => point.TemperatureCelsius));
        for (var kelvin = StepKelvin; kelvin <= MostStepsKelvin && warmest + kelvin <= WhatIf.WarmestCelsius; kelvin += StepKelvin)
        {
            if (!Bears(offering, bench, kelvin)) break;
            most = kelvin;
        }
        return most;
    }

    private bool Bears(OfferingCure offering, BenchCure bench, double kelvin)
    {
        var piece = CureScenarios.Piece(offering, bench with
        {
            Air = new("", [.. bench.Air.Ambient.Select(point => point with { TemperatureCelsius = point.TemperatureCelsius + kelvin })]),
        });
        try
        {
            var peak = LadderForecaster.Forecast(piece, offering.Resin.Draws(piece).Thinned(DrawsOfSearch)).Peak;
            return peak.HighCelsius <= _limits.PeakCelsius && peak.RunawayMargin <= _limits.RunawayMargin;
        }
        catch (CureRangeException)
        {
            return false;
        }
    }
}
