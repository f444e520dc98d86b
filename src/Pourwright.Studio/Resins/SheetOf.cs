using Pourwright.Cure.DataSheets;
using Pourwright.Studio.Names;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using ClassOnLabel = Pourwright.V1.ResinSystem.Types.CureClass;
using VesselOnLabel = Pourwright.V1.DataSheet.Types.Vessel;

namespace Pourwright.Studio.Resins;

/// <summary>A data sheet as the engine reads it.</summary>
/// <param name="Sheet">Its figures in the engine's units.</param>
/// <param name="Fields">Where each figure stands in the resin system, in the order of the sheet's figures: `data_sheet.gel_time`.</param>
public sealed record SheetOf(DataSheet Sheet, IReadOnlyList<string> Fields)
{
    /// <summary>The sheet of a resin system; without any figure where none is given.</summary>
    public static SheetOf Read(ResinSystemRecord system)
    {
        var printed = system.ReadDataSheet() ?? new();
        (string Field, SheetFigure Figure)[] figures = [.. Figures(system, printed)];
        double? other = printed.HasOtherBasisHardenerPartsPer100Resin ? printed.OtherBasisHardenerPartsPer100Resin : null;
        var byMass = system.Basis == Basis.Mass;
        return new(
            OfClass(system.CureClass) with
            {
                Version = Version(system, printed),
                Figures = [.. figures.Select(figure => figure.Figure)],
                EpoxideEquivalentGramsPerMole = printed.HasEpoxideEquivalentWeightGPerMol ? printed.EpoxideEquivalentWeightGPerMol : null,
                AmineHydrogenEquivalentGramsPerMole =
                    printed.HasAmineHydrogenEquivalentWeightGPerMol ? printed.AmineHydrogenEquivalentWeightGPerMol : null,
                ADensityKgPerM3 = system.ADensityKgPerM3,
                BDensityKgPerM3 = system.BDensityKgPerM3,
                HardenerPartsPer100ResinByMass = byMass ? system.HardenerPartsPer100Resin : other,
                HardenerPartsPer100ResinByVolume = byMass ? other : system.HardenerPartsPer100Resin,
            },
            [.. figures.Select(figure => figure.Field)]);
    }

    /// <summary>A sheet that says nothing but the class.</summary>
    public static DataSheet OfClass(ClassOnLabel cureClass) => new()
    {
        Version = "none",
        CureClass = cureClass == ClassOnLabel.FastCoating ? CureClass.FastCoating : CureClass.DeepCasting,
    };

    // The id belongs to it: a revision names one set of numbers, and version 3 exists of many sheets.
    private static string Version(ResinSystemRecord system, V1.DataSheet printed)
    {
        var id = ResourceNames.IdOf(system.Name);
        return string.IsNullOrWhiteSpace(printed.Version) ? $"of {id}" : $"{printed.Version} of {id}";
    }

    private static IEnumerable<(string, SheetFigure)> Figures(ResinSystemRecord system, V1.DataSheet printed)
    {
        if (printed.PotLife is { } potLife)
            yield return ("data_sheet.pot_life",
                new PotLife(Hours(potLife), printed.PotLifeBatchMassMg, VesselOf(printed.PotLifeVessel), printed.PotLifeTemperatureCelsius));
        if (printed.GelTime is { } gel)
            yield return ("data_sheet.gel_time", new GelTime(Hours(gel), printed.GelTemperatureCelsius));
        for (var i = 0; i < printed.FurtherGelTimes.Count; i++)
            yield return ($"data_sheet.further_gel_times[{i}].gel_time",
                new GelTime(Hours(printed.FurtherGelTimes[i].GelTime), printed.FurtherGelTimes[i].TemperatureCelsius));
        if (printed.DemoldTime is { } demold)
            yield return ("data_sheet.demold_time", new DemoldTime(Hours(demold), printed.DemoldDepthMm, printed.DemoldTemperatureCelsius));
        if (printed.FullCureTime is { } full)
            yield return ("data_sheet.full_cure_time", new FullCureTime(Hours(full), printed.FullCureTemperatureCelsius));
        if (printed.HasPeakTemperatureCelsius)
            yield return ("data_sheet.peak_temperature_celsius",
                new MeasuredPeak(printed.PeakTemperatureCelsius, printed.PeakDepthMm, printed.PeakRoomTemperatureCelsius));
        if (printed.HasMaxDepthTemperatureCelsius && system.MaxDepthMm is { } depthMm)
            yield return ("max_depth_mm", new MaximumDepth(depthMm, printed.MaxDepthTemperatureCelsius));
    }

    private static Vessel VesselOf(VesselOnLabel vessel) => vessel == VesselOnLabel.Tray ? Vessel.Tray : Vessel.Cup;

    private static double Hours(Google.Protobuf.WellKnownTypes.Duration span) => (span.Seconds + span.Nanos / 1e9) / 3600;
}
