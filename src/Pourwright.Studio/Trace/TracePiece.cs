using Pourwright.Studio.Climate;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>Puts together what is recorded about a piece, and names what is not.</summary>
public static class TracePiece
{
    /// <summary>How far around a pour the climate counts as the climate at the pour. Common practice, no source.</summary>
    public static readonly TimeSpan AroundPour = TimeSpan.FromMinutes(30);

    public static PieceTrace Decide(PieceFacts facts, DateTimeOffset now)
    {
        var trace = new PieceTrace
        {
            Piece = facts.Piece,
            Defects = { facts.Defects },
            Pours = { facts.Pours.Select(pour => Trace(pour, now)) },
            ClimateThroughCure = ThroughCure(facts)?.ToProto(),
            Forecast = facts.LastForecast,
            FirstForecast = facts.FirstForecast,
            Gates = { CompareGates.Decide(facts) },
            PeakObservation = CompareGates.Peak(facts),
            Checks = { facts.Checks },
            Steps = { facts.Steps },
            Sisters = { facts.Sisters },
            Corrections = { facts.Corrections },
            TraceTime = Google.Protobuf.WellKnownTypes.Timestamp.FromDateTimeOffset(now),
        };
        trace.Unknowns.Add(NameUnknowns.OfPiece(trace, facts.Zone));
        return trace;
    }

    private static PourTrace Trace(PourFacts facts, DateTimeOffset now)
    {
        var pourTime = facts.Pour.PourTime.ToDateTimeOffset();
        var endMs = Math.Max(Math.Min((pourTime + AroundPour).ToUnixMs(), now.ToUnixMs()), pourTime.ToUnixMs());
        return new PourTrace
        {
            Pour = facts.Pour,
            Mix = facts.Mix,
            Draws = { facts.Draws },
            ClimateAtPour = ClimateSpans
                .Over(facts.Around.Readings, (pourTime - AroundPour).ToUnixMs(), endMs, facts.Around.IntervalMs).ToProto(),
        };
    }

    private static Climate.ClimateSpan? ThroughCure(PieceFacts facts) => facts.Stays.Count == 0
        ? null
        : ClimateSpans.Over(facts.CureReadings.Readings, facts.Stays[0].FromMs, facts.Stays[^1].ToMs,
            facts.CureReadings.IntervalMs, facts.MinCureTemperatureCelsius);
}
