using System.Globalization;
using Pourwright.Evidence.Suspects;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Suspects;

/// <summary>What is on record of a piece that it may share with others. What has no record is left out.</summary>
public static class PieceFactors
{
    /// <summary>Levels by factor; several where two pours or a topped-up container bring several.</summary>
    public static IReadOnlyDictionary<Factor, IReadOnlyCollection<string>> Levels(PieceHistory history, SuspectRecords records)
    {
        var (piece, pours) = (history.Piece, history.Pours);
        var draws = pours.Select(pour => pour.Mix).Distinct().SelectMany(mix => records.Draws[mix]).ToList();
        IEnumerable<string> Lots(Part part) => draws.Where(draw => draw.Part == part).Select(draw => draw.Lot).OfType<string>().Select(ResourceNames.IdOf);
        var zone = records.Sites[piece.Site].Zone;
        var levels = new (Factor Factor, IEnumerable<string> Levels)[]
        {
            (Factor.LotA, Lots(Part.A)),
            (Factor.LotB, Lots(Part.B)),
            (Factor.PigmentLot, Lots(Part.Pigment)),
            (Factor.Container, draws.Select(draw => ResourceNames.IdOf(draw.Container))),
            (Factor.Mix, pours.Select(pour => ResourceNames.IdOf(pour.Mix))),
            (Factor.Person, pours.SelectMany(pour => (string[])[pour.Mixer, pour.Pourer])),
            (Factor.Instructor, records.Instructors[piece.CastingClass].Select(ResourceNames.IdOf)),
            (Factor.Scale, pours.Where(pour => pour.Scale.Length > 0).Select(pour => AtSite(pour.MixSite, pour.Scale))),
            (Factor.Site, [ResourceNames.IdOf(piece.Site)]),
            (Factor.Bench, pours.Select(pour => $"{ResourceNames.IdOf(ResourceNames.SiteOf(pour.Bench))}/{ResourceNames.IdOf(pour.Bench)}")),
            (Factor.Mould, piece.Mould.Length > 0 ? [AtSite(piece.Site, piece.Mould)] : []),
            (Factor.Date, pours.Select(pour => Day(pour.PourMs, zone))),
        };
        return levels.Select(each => (each.Factor, Levels: each.Levels.Where(level => level.Length > 0).Distinct().ToArray())).Where(each => each.Levels.Length > 0)
            .ToDictionary(each => each.Factor, each => (IReadOnlyCollection<string>)each.Levels);
    }

    /// <summary>Numbers of measured factors, the least favourable one where a piece has several.</summary>
    /// <param name="history">The piece.</param>
    /// <param name="conditions">What is on record of it.</param>
    /// <param name="conversionAtDemold">Null where there is no demold, or no cure could be computed.</param>
    public static IReadOnlyDictionary<Factor, double> Numbers(PieceHistory history, PieceConditions conditions, double? conversionAtDemold)
    {
        var numbers = new (Factor Factor, double? Value)[]
        {
            (Factor.Temperature, conditions.RoomLowCelsius),
            (Factor.Humidity, conditions.HumidityPercent),
            (Factor.DewPointMargin, conditions.DewPointMarginKelvin),
            (Factor.RatioDeviation, conditions.RatioDeviationPercent),
            (Factor.Depth, conditions.DepthMm),
            (Factor.WoodMoisture, conditions.WoodMoisturePercent),
            (Factor.HoursToDemold, history.HoursToDemold),
            (Factor.ConversionAtDemold, conversionAtDemold),
        };
        return numbers.Where(number => number.Value is { } value && double.IsFinite(value)).ToDictionary(number => number.Factor, number => number.Value!.Value);
    }

    /// <summary>What physics can speak about; without a room where nobody has looked, or where too little of it was read.</summary>
    public static PieceConditions Conditions(PieceHistory history, SuspectRecords records, RecordedRoom? room, CureAtLook? cure)
    {
        var known = room is { IsKnown: true } ? room.Climate : null;
        var farthest = history.Pours.MaxBy(pour => Math.Abs(pour.RatioDeviationPercent))!;
        return new()
        {
            Cure = cure,
            RoomLowCelsius = known?.MinTemperatureCelsius,
            MinCureCelsius = MinCureCelsius(history, records),
            BelowMinimumHours = known is null ? null : known.BelowMinimumMs / 3_600_000.0,
            HumidityPercent = known?.MaxRelativeHumidityPercent,
            DewPointMarginKelvin = known?.MinDewPointMarginCelsius,
            RatioDeviationPercent = farthest.RatioDeviationPercent,
            RatioTolerancePercent = records.Resins[farthest.ResinSystem].RatioTolerancePercent,
            DepthMm = history.Pours.Max(pour => pour.DepthMm),
            MaxDepthMm = history.Pours.Select(pour => records.Resins[pour.ResinSystem].MaxDepthMm).Min(),
            ResinCelsius = history.Pours.Min(pour => pour.ResinTemperatureCelsius),
            WoodMoisturePercent = history.Piece.WoodMoisturePercent,
        };
    }

    /// <summary>Coldest that the data sheets of its resins allow, in °C.</summary>
    public static double MinCureCelsius(PieceHistory history, SuspectRecords records) =>
        history.Pours.Max(pour => records.Resins[pour.ResinSystem].MinCureTemperatureCelsius);

    private static string AtSite(string site, string thing) => $"{ResourceNames.IdOf(site)}: {thing}";

    private static string Day(long ms, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(Instants.FromUnixMs(ms), zone).ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
