using Pourwright.Studio.Names;
using Pourwright.V1;

namespace Pourwright.Studio.Trace;

/// <summary>What a trace does not know, a sentence each. Who reads a trace takes silence for good news, so nothing is silent.</summary>
public static class NameUnknowns
{
    /// <summary>More gaps than this are summed up: the longest are named. Common practice, no source.</summary>
    private const int GapsNamed = 5;

    public static IEnumerable<string> OfPiece(PieceTrace trace, TimeZoneInfo zone) =>
    [
        .. trace.Pours.Count == 0 ? ["No pour is recorded: what the piece is made of is not known."] : NoSentences,
        .. trace.Pours.Select(pour => pour.Mix).DistinctBy(mix => mix.Name).SelectMany(OfMix),
        .. trace.Pours.SelectMany(OfPour),
        .. trace.Pours.SelectMany(pour => pour.Draws).SelectMany(draw => draw.Lots).DistinctBy(lot => lot.Name).SelectMany(OfLot),
        .. OfCure(trace.ClimateThroughCure, zone),
        .. OfForecast(trace, zone),
        .. OfWood(trace.Piece),
        .. trace.Defects.Count == 0 ? ["No defect is reported; whether somebody looked for one is not recorded."] : NoSentences,
    ];

    public static IEnumerable<string> OfLot(LotTrace trace, IEnumerable<Container> neverWeighed) =>
    [
        .. OfLot(trace.Lot),
        .. neverWeighed.Select(container => $"Container {Id(container.Name)} was opened and never weighed back: its balance is by the book alone."),
        .. trace.Mixes.SelectMany(OfMix),
        .. trace.Mixes.Where(mix => mix.RemainingMassMg > 0)
            .Select(mix => $"{TraceWords.Grams(mix.RemainingMassMg)} of mix {Id(mix.Name)} were neither poured nor recorded as thrown away."),
        .. trace.Pieces.Where(piece => piece.Piece.Maker.Length == 0).Select(piece => $"No maker is recorded for piece {Id(piece.Piece.Name)}."),
    ];

    private static string[] NoSentences => [];

    private static IEnumerable<string> OfMix(Mix mix)
    {
        if (mix.Scale.Length == 0) yield return $"No scale was recorded for mix {Id(mix.Name)}.";
        if (!mix.HasTemperatureCelsius) yield return $"No temperature was recorded for mix {Id(mix.Name)}.";
    }

    private static IEnumerable<string> OfPour(PourTrace trace)
    {
        var pour = $"pour {trace.Pour.LayerCount}";
        if (!trace.Pour.HasResinTemperatureCelsius && !trace.Mix.HasTemperatureCelsius)
            yield return $"No resin temperature was recorded at {pour}.";
        if (!trace.Pour.HasSurfaceTemperatureCelsius)
            yield return $"No temperature of mould and wood was recorded at {pour}: how close it was to the dew point is not known.";
        if (trace.ClimateAtPour.ReadingCount == 0) yield return $"No readings within half an hour of {pour}.";
        else if (!trace.ClimateAtPour.HasMaxRelativeHumidityPercent) yield return $"No humidity was recorded at {pour}.";
        if (trace.Draws.Count == 0) yield return $"No containers are recorded for mix {Id(trace.Mix.Name)}.";
        foreach (var draw in trace.Draws.Where(draw => draw.Lots.Count == 0))
            yield return $"No lot is recorded for container {Id(draw.Draw.Container)}.";
    }

    private static IEnumerable<string> OfLot(Lot lot)
    {
        if (lot.Supplier.Length == 0) yield return $"No supplier is recorded for lot {Id(lot.Name)}.";
        if (lot.ExpiryDate is null) yield return $"No expiry date is recorded for lot {Id(lot.Name)}.";
    }

    private static IEnumerable<string> OfCure(ClimateSpan? cure, TimeZoneInfo zone)
    {
        if (cure is null) yield break;
        var named = cure.Gaps.OrderByDescending(Length).Take(GapsNamed).OrderBy(gap => gap.StartTime);
        foreach (var gap in named)
            yield return $"No readings between {TraceWords.Local(gap.StartTime, zone)} and {TraceWords.Local(gap.EndTime, zone)}.";
        var others = cure.Gaps.OrderByDescending(Length).Skip(GapsNamed).ToList();
        if (others.Count > 0)
            yield return $"No readings in {TraceWords.Count(others.Count, "shorter gap")}, {TraceWords.Span(Sum(others))} in all.";
        if (cure.ReadingCount > 0 && !cure.HasMaxRelativeHumidityPercent) yield return "No humidity was recorded through the cure.";
    }

    private static IEnumerable<string> OfForecast(PieceTrace trace, TimeZoneInfo zone)
    {
        if (trace.Pours.Count == 0) yield break;
        if (trace.Forecast is null)
        {
            yield return "No forecast was made: when it was safe to demold is not known.";
            yield break;
        }
        var safe = trace.Forecast.Gates.FirstOrDefault(gate => gate.Gate == Gate.Demold)?.SafeTime;
        if (trace.Forecast.Gates.Count == 0)
            yield return "The last forecast names no times: the cure model could not be asked.";
        else if (safe is null)
            yield return "The last forecast names no safe time to demold: not without warmth.";
        else if (safe <= trace.TraceTime && !trace.Checks.Any(check => check.Touch != Check.Types.Touch.Unspecified && check.CheckTime >= safe))
            yield return $"No touch test after the safe time to demold, {TraceWords.Local(safe, zone)}.";
        if (!trace.Checks.Any(check => check.HasSurfaceTemperatureCelsius))
            yield return "No surface temperature was measured while it cured: how hot it got is not known.";
    }

    private static IEnumerable<string> OfWood(Piece piece)
    {
        if (!piece.HasWoodMoisturePercent) yield return "No wood moisture was recorded.";
        if (piece.WoodSpecies.Length == 0) yield return "No wood species was recorded.";
        if (piece.Maker.Length == 0) yield return "No maker is recorded.";
    }

    private static TimeSpan Length(ClimateSpan.Types.Gap gap) => gap.EndTime.ToDateTimeOffset() - gap.StartTime.ToDateTimeOffset();

    private static TimeSpan Sum(IEnumerable<ClimateSpan.Types.Gap> gaps) =>
        gaps.Aggregate(TimeSpan.Zero, (sum, gap) => sum + Length(gap));

    private static string Id(string name) => ResourceNames.IdOf(name);
}
