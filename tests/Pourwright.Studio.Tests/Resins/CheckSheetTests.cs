using Google.Protobuf.WellKnownTypes;
using Pourwright.Cure.DataSheets;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.V1;
using DataSheet = Pourwright.V1.DataSheet;
using Vessel = Pourwright.V1.DataSheet.Types.Vessel;

namespace Pourwright.Studio.Tests.Resins;

/// <summary>What a data sheet must be before anything is fitted to it, and how the engine reads it.</summary>
public class CheckSheetTests
{
    private static readonly Dictionary<string, (Action<ResinSystem> Spoil, string Field)> Table = new()
    {
        ["pot life of no batch"] = (s => s.DataSheet.ClearPotLifeBatchMassMg(), "data_sheet.pot_life_batch_mass_mg"),
        ["pot life at no temperature"] = (s => s.DataSheet.ClearPotLifeTemperatureCelsius(), "data_sheet.pot_life_temperature_celsius"),
        ["pot life of a thimble"] = (s => s.DataSheet.PotLifeBatchMassMg = 9_999, "data_sheet.pot_life_batch_mass_mg"),
        ["pot life of a bath"] = (s => s.DataSheet.PotLifeBatchMassMg = 50_000_001, "data_sheet.pot_life_batch_mass_mg"),
        ["pot life of a minute"] = (s => s.DataSheet.PotLife = Hours(0.0199), "data_sheet.pot_life"),
        ["pot life of a week"] = (s => s.DataSheet.PotLife = Hours(100.1), "data_sheet.pot_life"),
        ["vessel of no pot life"] = (s => s.DataSheet.PotLife = null, "data_sheet.pot_life"),
        ["vessel unheard of"] = (s => s.DataSheet.PotLifeVessel = (Vessel)9, "data_sheet.pot_life_vessel"),
        ["gel time at no temperature"] = (s => s.DataSheet.ClearGelTemperatureCelsius(), "data_sheet.gel_temperature_celsius"),
        ["gel time in the frost"] = (s => s.DataSheet.GelTemperatureCelsius = 4.9, "data_sheet.gel_temperature_celsius"),
        ["gel time in an oven"] = (s => s.DataSheet.GelTemperatureCelsius = 60.1, "data_sheet.gel_temperature_celsius"),
        ["gel time of a month"] = (s => s.DataSheet.GelTime = Hours(500.1), "data_sheet.gel_time"),
        ["further gel time of nothing"] = (s => s.DataSheet.FurtherGelTimes[0].GelTime = null, "data_sheet.further_gel_times[0].gel_time"),
        ["further gel time at no temperature"] = (s => s.DataSheet.FurtherGelTimes[0].TemperatureCelsius = 0, "data_sheet.further_gel_times[0].temperature_celsius"),
        ["gel times without end"] = (s => s.DataSheet.FurtherGelTimes.Add(Enumerable.Repeat(s.DataSheet.FurtherGelTimes[0], 4)), "data_sheet.further_gel_times"),
        ["demold time at no depth"] = (s => s.DataSheet.ClearDemoldDepthMm(), "data_sheet.demold_depth_mm"),
        ["demold time at no temperature"] = (s => s.DataSheet.ClearDemoldTemperatureCelsius(), "data_sheet.demold_temperature_celsius"),
        ["demold time of a well"] = (s => s.DataSheet.DemoldDepthMm = 150.1, "data_sheet.demold_depth_mm"),
        ["demold time of a moment"] = (s => s.DataSheet.DemoldTime = Hours(0.099), "data_sheet.demold_time"),
        ["demold time of two months"] = (s => s.DataSheet.DemoldTime = Hours(1000.1), "data_sheet.demold_time"),
        ["full cure at no temperature"] = (s => s.DataSheet.ClearFullCureTemperatureCelsius(), "data_sheet.full_cure_temperature_celsius"),
        ["full cure within the hour"] = (s => s.DataSheet.FullCureTime = Hours(0.99), "data_sheet.full_cure_time"),
        ["full cure after months"] = (s => s.DataSheet.FullCureTime = Hours(3000.1), "data_sheet.full_cure_time"),
        ["peak of no depth"] = (s => s.DataSheet.ClearPeakDepthMm(), "data_sheet.peak_depth_mm"),
        ["peak in no room"] = (s => s.DataSheet.ClearPeakRoomTemperatureCelsius(), "data_sheet.peak_room_temperature_celsius"),
        ["depth and room of no peak"] = (s => s.DataSheet.ClearPeakTemperatureCelsius(), "data_sheet.peak_temperature_celsius"),
        ["peak as cool as its room"] = (s => s.DataSheet.PeakTemperatureCelsius = 20.9, "data_sheet.peak_temperature_celsius"),
        ["peak of a fire"] = (s => s.DataSheet.PeakTemperatureCelsius = 300.1, "data_sheet.peak_temperature_celsius"),
        ["limit of no depth"] = (s => s.ClearMaxDepthMm(), "max_depth_mm"),
        ["limit of a film"] = (s => s.MaxDepthMm = 0.4, "max_depth_mm"),
        ["limit in the frost"] = (s => s.DataSheet.MaxDepthTemperatureCelsius = 4.9, "data_sheet.max_depth_temperature_celsius"),
        ["epoxide too light"] = (s => s.DataSheet.EpoxideEquivalentWeightGPerMol = 79, "data_sheet.epoxide_equivalent_weight_g_per_mol"),
        ["amine too heavy"] = (s => s.DataSheet.AmineHydrogenEquivalentWeightGPerMol = 601, "data_sheet.amine_hydrogen_equivalent_weight_g_per_mol"),
        ["other ratio of nothing"] = (s => s.DataSheet.OtherBasisHardenerPartsPer100Resin = 0.9, "data_sheet.other_basis_hardener_parts_per_100_resin"),
        ["ratio of a trace"] = (s => s.HardenerPartsPer100Resin = 0.9, "hardener_parts_per_100_resin"),
    };

    public static TheoryData<string> Claims => [.. Table.Keys];

    [Theory]
    [MemberData(nameof(Claims))]
    public void Sheet_WithASpoiltFigure_NamesTheField(string claim)
    {
        var system = Full();
        Table[claim].Spoil(system);

        var refusal = Assert.Throws<Refusal>(() => Check(system));

        Assert.Equal((Reasons.FieldInvalid, $"resin_system.{Table[claim].Field}"), (refusal.Reason, Assert.Single(refusal.Fields).Field));
    }

    // The limits of this table are the engine's own: whatever just passes here, the engine takes.
    [Fact]
    public void Sheet_AtTheEdgeOfEveryRange_IsTakenByTheEngine()
    {
        foreach (var system in new[] { Edge(least: true), Edge(least: false) })
        {
            // Both are absurd as resins, and may contradict themselves; but nothing is out of range.
            var refusal = Record.Exception(() => Check(system)) as Refusal;
            Assert.True(refusal is null or { Reason: Reasons.DataSheetContradictory }, refusal?.Message);
        }
    }

    [Fact]
    public void Sheet_AsTheEngineReadsIt_HoldsEveryFigureWithItsField()
    {
        var read = SheetOf.Read(CreateResinSystem.Decide(new() { Parent = "studios/alder", ResinSystem = Full() }, "studios/alder/resinSystems/full"));

        Assert.Equal(
            [
                ("data_sheet.pot_life", new PotLife(6, 1_000_000, Cure.DataSheets.Vessel.Tray, 23)),
                ("data_sheet.gel_time", new GelTime(27, 23)),
                ("data_sheet.further_gel_times[0].gel_time", new GelTime(14, 35)),
                ("data_sheet.demold_time", new DemoldTime(48, 40, 20)),
                ("data_sheet.full_cure_time", new FullCureTime(240, 23)),
                ("data_sheet.peak_temperature_celsius", new MeasuredPeak(43, 40, 20)),
                ("max_depth_mm", new MaximumDepth(35, 21)),
            ],
            read.Fields.Zip(read.Sheet.Figures));
        Assert.Equal("4 of full", read.Sheet.Version);
        Assert.Equal((42, 50.0), (read.Sheet.HardenerPartsPer100ResinByMass, read.Sheet.HardenerPartsPer100ResinByVolume));
        Assert.Equal((1150.0, 960.0), (read.Sheet.ADensityKgPerM3, read.Sheet.BDensityKgPerM3));
        Assert.Equal((190.0, 95.0), (read.Sheet.EpoxideEquivalentGramsPerMole, read.Sheet.AmineHydrogenEquivalentGramsPerMole));
    }

    [Fact]
    public void Sheet_ByVolume_HasItsOtherRatioByMass()
    {
        var system = Full();
        system.Basis = ResinSystem.Types.Basis.Volume;

        var read = SheetOf.Read(CreateResinSystem.Decide(new() { ResinSystem = system }, "full"));

        Assert.Equal((50.0, 42), (read.Sheet.HardenerPartsPer100ResinByMass, read.Sheet.HardenerPartsPer100ResinByVolume));
    }

    // Without its temperature the deepest pour is a rule of the house.
    [Fact]
    public void DeepestPour_WithoutItsTemperature_IsNoFigure()
    {
        var system = Full();
        system.DataSheet.ClearMaxDepthTemperatureCelsius();

        Check(system);

        Assert.DoesNotContain("max_depth_mm", SheetOf.Read(CreateResinSystem.Decide(new() { ResinSystem = system }, "full")).Fields);
    }

    // Sheets recorded before anything was fitted: no piece may be left without a forecast for them.
    [Fact]
    public void Model_OfAnOlderSheetThatContradictsItself_IsThatOfItsClassWithACaution()
    {
        var system = Full();
        system.DataSheet = new()
        {
            GelTime = Hours(20), GelTemperatureCelsius = 20, DemoldTime = Hours(4), DemoldDepthMm = 5, DemoldTemperatureCelsius = 20,
        };
        var record = CreateResinSystem.Decide(new() { ResinSystem = system }, "studios/alder/resinSystems/old");

        var calibration = new ResinModels().Of(record);

        Assert.Equal("deep-casting-1", calibration.Model.Revision);
        var caution = Assert.Single(CalibrationReport.Of(record, calibration).Cautions);
        Assert.Equal(Reasons.DataSheetUnused, caution.Reason);
        Assert.Contains("Gel time of a thin film at 20 °C is 20 h", caution.Text);
    }

    private static void Check(ResinSystem system) => CreateResinSystem.Check(new() { Parent = "studios/alder", ResinSystemId = "full", ResinSystem = system });

    private static ResinSystem Full() => new()
    {
        DisplayName = "Full",
        Basis = ResinSystem.Types.Basis.Mass,
        HardenerPartsPer100Resin = 42,
        RatioTolerancePercent = 2,
        ADensityKgPerM3 = 1150,
        BDensityKgPerM3 = 960,
        CureClass = ResinSystem.Types.CureClass.DeepCasting,
        MaxDepthMm = 35,
        DataSheet = new()
        {
            Version = "4",
            PotLife = Hours(6),
            PotLifeBatchMassMg = 1_000_000,
            PotLifeTemperatureCelsius = 23,
            PotLifeVessel = Vessel.Tray,
            GelTime = Hours(27),
            GelTemperatureCelsius = 23,
            FurtherGelTimes = { new DataSheet.Types.Gel { GelTime = Hours(14), TemperatureCelsius = 35 } },
            DemoldTime = Hours(48),
            DemoldDepthMm = 40,
            DemoldTemperatureCelsius = 20,
            FullCureTime = Hours(240),
            FullCureTemperatureCelsius = 23,
            PeakTemperatureCelsius = 43,
            PeakDepthMm = 40,
            PeakRoomTemperatureCelsius = 20,
            MaxDepthTemperatureCelsius = 21,
            EpoxideEquivalentWeightGPerMol = 190,
            AmineHydrogenEquivalentWeightGPerMol = 95,
            OtherBasisHardenerPartsPer100Resin = 50,
        },
    };

    private static ResinSystem Edge(bool least)
    {
        double At(double low, double high) => least ? low : high;
        var system = Full();
        (system.HardenerPartsPer100Resin, system.MaxDepthMm) = (At(1, 400), At(0.5, 200));
        (system.ADensityKgPerM3, system.BDensityKgPerM3) = (At(800, 2500), At(800, 2500));
        var sheet = system.DataSheet;
        (sheet.PotLife, sheet.PotLifeBatchMassMg, sheet.PotLifeTemperatureCelsius) = (Hours(At(0.02, 100)), least ? 10_000 : 50_000_000, At(5, 60));
        (sheet.GelTime, sheet.GelTemperatureCelsius) = (Hours(At(0.02, 500)), At(5, 60));
        (sheet.FurtherGelTimes[0].GelTime, sheet.FurtherGelTimes[0].TemperatureCelsius) = (Hours(At(0.02, 500)), At(5, 60));
        (sheet.DemoldTime, sheet.DemoldDepthMm, sheet.DemoldTemperatureCelsius) = (Hours(At(0.1, 1000)), At(0.5, 150), At(5, 60));
        (sheet.FullCureTime, sheet.FullCureTemperatureCelsius) = (Hours(At(1, 3000)), At(5, 60));
        (sheet.PeakTemperatureCelsius, sheet.PeakDepthMm, sheet.PeakRoomTemperatureCelsius) = (At(6, 300), At(0.5, 150), At(5, 60));
        (sheet.MaxDepthTemperatureCelsius, sheet.OtherBasisHardenerPartsPer100Resin) = (At(5, 60), At(1, 400));
        // The heat of 103e3/(900 + 15) = 113 kJ/kg and 103e3/(80 + 600) = 151 kJ/kg; at 1500 no heat is left in range.
        sheet.EpoxideEquivalentWeightGPerMol = At(900, 80);
        sheet.AmineHydrogenEquivalentWeightGPerMol = At(15, 600);
        return system;
    }

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
