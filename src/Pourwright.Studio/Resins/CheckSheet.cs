using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure;
using Pourwright.Cure.DataSheets;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Sites;
using Pourwright.V1;
using DataSheet = Pourwright.V1.DataSheet;
using Vessel = Pourwright.V1.DataSheet.Types.Vessel;

namespace Pourwright.Studio.Resins;

/// <summary>What a data sheet must be before anything is fitted to it.</summary>
internal static class CheckSheet
{
    private const string Path = "resin_system.data_sheet.";
    private const int FurtherGelTimesMax = 4;

    /// <summary>What a figure was measured at, and in which range the engine takes it.</summary>
    private readonly record struct At(string Field, bool Given, double Value, double Lowest, double Highest, string Unit)
    {
        public static At Celsius(string field, bool given, double value) => new(field, given, value, 5, 60, "°C");

        public static At Depth(string field, bool given, double value) => new(field, given, value, 0.5, 150, "mm");
    }

    /// <summary>A figure never stands without what it was measured at, nor outside the range of the model.</summary>
    public static void Shape(FieldChecks checks, ResinSystem system)
    {
        if (system.DataSheet is not { } sheet) return;
        checks.Text($"{Path}version", sheet.Version, 80, 0).Text($"{Path}safety_data_sheet_uri", sheet.SafetyDataSheetUri, 500, 0);
        Times(checks, sheet);
        for (var i = 0; i < sheet.FurtherGelTimes.Count; i++) Gel(checks, $"further_gel_times[{i}]", sheet.FurtherGelTimes[i]);
        checks.Require(sheet.FurtherGelTimes.Count <= FurtherGelTimesMax, $"{Path}further_gel_times",
            $"must be at most {FurtherGelTimesMax}: more teach next to nothing.", $"{sheet.FurtherGelTimes.Count}");
        Peak(checks, sheet);
        Limit(checks, system, sheet);
        Chemistry(checks, sheet);
    }

    /// <summary>Fits the sheet, to see whether any resin can be like that: tens of milliseconds, so never in the writer.</summary>
    /// <exception cref="Refusal">DATA_SHEET_CONTRADICTORY, or FIELD_INVALID for a value that only shows while fitting.</exception>
    public static void Sense(ResinSystemRecord system)
    {
        var read = SheetOf.Read(system);
        try
        {
            SheetCalibrator.Calibrate(read.Sheet);
        }
        catch (ContradictorySheetException contradiction)
        {
            throw Contradictory(contradiction, read);
        }
        catch (CureRangeException range)
        {
            throw Refusal.Invalid("resin_system.data_sheet", Shown(range.Value), $"cannot be fitted: {range.Message}");
        }
    }

    private static void Times(FieldChecks checks, DataSheet sheet) => checks
        .Time("pot_life", sheet.PotLife, 0.02, 100,
            new At("pot_life_batch_mass_mg", sheet.HasPotLifeBatchMassMg, sheet.PotLifeBatchMassMg, 10_000, 50_000_000, "mg"),
            At.Celsius("pot_life_temperature_celsius", sheet.HasPotLifeTemperatureCelsius, sheet.PotLifeTemperatureCelsius))
        .Require(System.Enum.IsDefined(sheet.PotLifeVessel), $"{Path}pot_life_vessel", "must be VESSEL_CUP, VESSEL_TRAY or empty.", $"{sheet.PotLifeVessel}")
        .Require(sheet.PotLifeVessel == Vessel.Unspecified || sheet.PotLife is not null, $"{Path}pot_life", "must be set where pot_life_vessel is.")
        .Time("gel_time", sheet.GelTime, 0.02, 500, At.Celsius("gel_temperature_celsius", sheet.HasGelTemperatureCelsius, sheet.GelTemperatureCelsius))
        .Time("demold_time", sheet.DemoldTime, 0.1, 1000,
            At.Depth("demold_depth_mm", sheet.HasDemoldDepthMm, sheet.DemoldDepthMm),
            At.Celsius("demold_temperature_celsius", sheet.HasDemoldTemperatureCelsius, sheet.DemoldTemperatureCelsius))
        .Time("full_cure_time", sheet.FullCureTime, 1, 3000,
            At.Celsius("full_cure_temperature_celsius", sheet.HasFullCureTemperatureCelsius, sheet.FullCureTemperatureCelsius));

    private static void Gel(FieldChecks checks, string path, DataSheet.Types.Gel gel) => checks
        .Require(gel.GelTime is not null, $"{Path}{path}.gel_time", "must be set.")
        .Time($"{path}.gel_time", gel.GelTime, 0.02, 500, At.Celsius($"{path}.temperature_celsius", true, gel.TemperatureCelsius));

    private static void Peak(FieldChecks checks, DataSheet sheet)
    {
        var isAny = sheet.HasPeakTemperatureCelsius || sheet.HasPeakDepthMm || sheet.HasPeakRoomTemperatureCelsius;
        checks
            .Require(!isAny || sheet.HasPeakTemperatureCelsius, $"{Path}peak_temperature_celsius", "must be set where its depth or its room is.")
            .Measured("peak_temperature_celsius", isAny, At.Depth("peak_depth_mm", sheet.HasPeakDepthMm, sheet.PeakDepthMm))
            .Measured("peak_temperature_celsius", isAny,
                At.Celsius("peak_room_temperature_celsius", sheet.HasPeakRoomTemperatureCelsius, sheet.PeakRoomTemperatureCelsius));
        if (sheet.HasPeakTemperatureCelsius)
            checks.Within($"{Path}peak_temperature_celsius", sheet.PeakTemperatureCelsius, sheet.PeakRoomTemperatureCelsius + 1, 300, "°C");
    }

    // Without a temperature the deepest pour is a rule of the house and no figure.
    private static void Limit(FieldChecks checks, ResinSystem system, DataSheet sheet)
    {
        if (!sheet.HasMaxDepthTemperatureCelsius) return;
        checks.Celsius($"{Path}max_depth_temperature_celsius", sheet.MaxDepthTemperatureCelsius, 5)
            .Require(system is { HasMaxDepthMm: true, MaxDepthMm: >= 0.5 }, "resin_system.max_depth_mm",
                "must be 0.5 mm or more where data_sheet.max_depth_temperature_celsius is set.", Shown(system.MaxDepthMm));
    }

    private static void Chemistry(FieldChecks checks, DataSheet sheet)
    {
        if (sheet.HasEpoxideEquivalentWeightGPerMol)
            checks.Within($"{Path}epoxide_equivalent_weight_g_per_mol", sheet.EpoxideEquivalentWeightGPerMol, 80, 1500, "g/mol");
        if (sheet.HasAmineHydrogenEquivalentWeightGPerMol)
            checks.Within($"{Path}amine_hydrogen_equivalent_weight_g_per_mol", sheet.AmineHydrogenEquivalentWeightGPerMol, 15, 600, "g/mol");
        if (sheet.HasOtherBasisHardenerPartsPer100Resin)
            checks.Within($"{Path}other_basis_hardener_parts_per_100_resin", sheet.OtherBasisHardenerPartsPer100Resin, 1, 400, "parts");
    }

    private static FieldChecks Time(
        this FieldChecks checks, string field, Duration? time, double leastHours, double mostHours, params ReadOnlySpan<At> measured)
    {
        checks.Require(time is null || DescribeSite.IsWithin(time, TimeSpan.FromHours(leastHours), TimeSpan.FromHours(mostHours)),
            Path + field, $"must be {Shown(leastHours)} to {Shown(mostHours)} h.", time is null ? null : $"{time.Seconds} s");
        foreach (var at in measured) checks.Measured(field, time is not null, at);
        return checks;
    }

    private static FieldChecks Measured(this FieldChecks checks, string figure, bool isPrinted, At at)
    {
        checks.Require(!isPrinted || at.Given, Path + at.Field, $"must be set where {figure} is: say what it was measured at.");
        return at.Given ? checks.Within(Path + at.Field, at.Value, at.Lowest, at.Highest, at.Unit) : checks;
    }

    private static Refusal Contradictory(ContradictorySheetException contradiction, SheetOf read)
    {
        var (first, second) = (contradiction.First, contradiction.Second);
        var (one, other, spreads) = (Field(first, read), Field(second, read), contradiction.Spreads.ToString("0.0", CultureInfo.InvariantCulture));
        return Refusal.Together(
            Reasons.DataSheetContradictory,
            $"No resin of its class has both: {Says(first)}, but {Says(second)}. The two alone disagree by {spreads} times what honest figures "
            + "may be off. Check unit and temperature of both against the sheet, or leave one out.",
            [
                new($"resin_system.{one}", $"contradicts {other}.", $"{Shown(first.Figure.Stated)} {first.Figure.Unit}"),
                new($"resin_system.{other}", $"contradicts {one}.", $"{Shown(second.Figure.Stated)} {second.Figure.Unit}"),
            ],
            [("first_field", one), .. Facts("first", first), ("second_field", other), .. Facts("second", second), ("spreads", spreads)]);
    }

    private static (string, string)[] Facts(string which, FigureFit fit) =>
    [
        ($"{which}_name", fit.Figure.Name), ($"{which}_printed", Rounded(fit.Figure.Stated)), ($"{which}_modelled", Rounded(fit.Modelled)),
        ($"{which}_unit", fit.Figure.Unit),
    ];

    private static string Says(FigureFit fit) =>
        $"{fit.Figure.Name} is printed as {Rounded(fit.Figure.Stated)} {fit.Figure.Unit} (best compromise {Rounded(fit.Modelled)})";

    private static string Field(FigureFit fit, SheetOf read) => read.Fields[read.Sheet.Figures.ToList().FindIndex(figure => ReferenceEquals(figure, fit.Figure))];

    private static string Rounded(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);

    private static string Shown(double value) => value.ToString(CultureInfo.InvariantCulture);
}
