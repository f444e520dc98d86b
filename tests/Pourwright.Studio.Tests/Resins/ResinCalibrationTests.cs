using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Resins;
using Pourwright.Testing;
using Pourwright.V1;
using Knowledge = Pourwright.V1.ResinCalibration.Types.Knowledge;

namespace Pourwright.Studio.Tests.Resins;

/// <summary>From the data sheet of a resin system to its cure model and the forecasts it makes.</summary>
public sealed class ResinCalibrationTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private V1.ResinService.ResinServiceClient _resins = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _resins = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    // A casting of 5 mm stays within a few kelvin of the room: it cannot be glass after 4 h where a film has not gelled after 20.
    [Fact]
    public async Task CreateResinSystem_ContradictorySheet_IsRefusedWithBothFiguresAndKeepsNothing()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => CreateAsync("odd", Sheet(gelHours: 20, demoldHours: 4, demoldDepthMm: 5)));

        Assert.Equal((StatusCode.InvalidArgument, "DATA_SHEET_CONTRADICTORY"), (refusal.StatusCode, refusal.Reason()));
        Assert.Equal(["resin_system.data_sheet.gel_time", "resin_system.data_sheet.demold_time"], refusal.Fields());
        var facts = refusal.Facts();
        Assert.Equal(("data_sheet.gel_time", "20", "h"), (facts["first_field"], facts["first_printed"], facts["first_unit"]));
        Assert.Equal(("data_sheet.demold_time", "4", "h"), (facts["second_field"], facts["second_printed"], facts["second_unit"]));
        Assert.InRange(double.Parse(facts["spreads"], CultureInfo.InvariantCulture), 3, 6);
        Assert.All([facts["first_modelled"], facts["second_modelled"], facts["spreads"], "leave one out"],
            value => Assert.Contains(value, refusal.Status.Detail));
        Assert.DoesNotContain((await _resins.ListResinSystemsAsync(new() { Parent = SampleStudio.Name })).ResinSystems, system => system.Name.EndsWith("/odd", StringComparison.Ordinal));

        // The way out: either figure alone is taken.
        await CreateAsync("odd", Sheet(gelHours: 20));
    }

    // 103e3 J/mol over 100 + 20 g/mol are 858 kJ/kg: each weight is possible, no resin of both is.
    [Fact]
    public async Task CreateResinSystem_WeightsOfAnImpossibleHeat_AreAFieldThatCannotBeFitted()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(() => CreateAsync(
            "hot", new() { EpoxideEquivalentWeightGPerMol = 100, AmineHydrogenEquivalentWeightGPerMol = 20 }));

        Assert.Equal(("FIELD_INVALID", "resin_system.data_sheet"), (refusal.Reason(), Assert.Single(refusal.Fields())));
        Assert.Contains("100000 to 480000 J/kg", refusal.Status.Detail);
    }

    [Fact]
    public async Task GetResinCalibration_OfAFullSheet_TellsEachFigureAndWhatItTaught()
    {
        var calibration = await _resins.GetResinCalibrationAsync(new() { Name = SampleStudio.Deep });

        Assert.Equal(SampleStudio.Deep, calibration.ResinSystem);
        Assert.Equal("deep-casting-1 fitted to data sheet 1 of deep (5 figures)", calibration.ModelRevision);
        Assert.Equal(
            [
                ("data_sheet.pot_life", 6.0), ("data_sheet.gel_time", 28), ("data_sheet.demold_time", 36), ("data_sheet.full_cure_time", 120),
                ("data_sheet.peak_temperature_celsius", 38),
            ],
            calibration.Figures.Select(figure => (figure.Field, figure.Printed)));
        Assert.All(calibration.Figures, figure => Assert.Equal(
            figure.Unit == "h" ? Math.Log(figure.Modelled / figure.Printed) : figure.Modelled - figure.Printed, figure.Residual, 9));
        var byName = calibration.Parameters.ToDictionary(parameter => parameter.DisplayName);
        Assert.Equal((Knowledge.Learned, "1/s"), (byName["k1 at 25 °C"].Knowledge, byName["k1 at 25 °C"].Unit));
        Assert.Equal(Knowledge.StillPrior, byName["Activation energy E2"].Knowledge);
        Assert.Equal(byName["Order n"].PosteriorSpread / byName["Order n"].PriorSpread, byName["Order n"].StillPriorRatio, 12);
        // No ratio by volume, no densities.
        Assert.Null(calibration.RatioCheck);
        // e^(1.645 · 0.35) = 1.78 is what the class alone leaves open.
        Assert.InRange(calibration.RateFactorRatio, 1.18, 1.6);
        Assert.Contains(calibration.RateFactorRatio.ToString("0.0#", CultureInfo.InvariantCulture), calibration.RateText);
    }

    [Fact]
    public async Task GetResinCalibration_WithoutASheet_IsTheClassAndSaysSo()
    {
        var plain = await CreateAsync("plain", null);

        var calibration = await _resins.GetResinCalibrationAsync(new() { Name = plain.Name });

        Assert.Equal("deep-casting-1", calibration.ModelRevision);
        Assert.Empty(calibration.Figures);
        Assert.All(calibration.Parameters, parameter => Assert.Equal(Knowledge.StillPrior, parameter.Knowledge));
        Assert.Equal(1.78, calibration.RateFactorRatio, 0.005);
    }

    // 1 : 2 by volume with 1150 and 960 kg/m³ are 50 · 960/1150 = 41.74 parts by mass: 42 agree, 0.6 %; 45 are 7.2 % off.
    [Theory]
    [InlineData(42, true)]
    [InlineData(45, false)]
    public async Task GetResinCalibration_BothRatiosPrinted_HoldsThemAgainstEachOther(double byMass, bool agrees)
    {
        var system = System("both", new() { OtherBasisHardenerPartsPer100Resin = 50 });
        system.ResinSystem.HardenerPartsPer100Resin = byMass;
        (system.ResinSystem.ADensityKgPerM3, system.ResinSystem.BDensityKgPerM3) = (1150, 960);
        var created = await _resins.CreateResinSystemAsync(system);

        var calibration = await _resins.GetResinCalibrationAsync(new() { Name = created.Name });

        Assert.Equal((byMass, agrees), (calibration.RatioCheck.PrintedHardenerPartsPer100Resin, calibration.RatioCheck.Agrees));
        Assert.Equal(41.74, calibration.RatioCheck.VolumeHardenerPartsPer100Resin, 0.005);
        Assert.Equal(agrees ? [] : ["RATIO_MISMATCH"], calibration.Cautions.Select(caution => caution.Reason));
    }

    [Fact]
    public async Task GetResinCalibration_OfNoSystem_IsNotFound()
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(
            async () => await _resins.GetResinCalibrationAsync(new() { Name = "studios/alder/resinSystems/none" }));

        Assert.Equal("RESIN_SYSTEM_NOT_FOUND", refusal.Reason());
    }

    // Everything else alike, a resin that its maker demolds after 30 h is out of the mould before one that takes 70 h.
    [Fact]
    public async Task Prediction_OfASlowSheet_IsLaterThanOfAFastOne()
    {
        var (fast, slow) = (await LikelyHoursAsync("fast", Sheet(16, 30)), await LikelyHoursAsync("slow", Sheet(36, 70)));

        Assert.InRange(slow[0] / fast[0], 1.5, 4);
        Assert.InRange(slow[1] / fast[1], 1.5, 4);
    }

    [Fact]
    public async Task Forecast_OfASlowSheet_IsLaterThanOfAFastOne()
    {
        var (fast, slow) = (await DemoldHoursAsync("fast", Sheet(16, 30)), await DemoldHoursAsync("slow", Sheet(36, 70)));

        Assert.InRange(slow / fast, 1.5, 4);
    }

    [Fact]
    public void Model_OfAResinSystem_IsFittedOnceForAllThreads()
    {
        var models = _harness.Services.GetRequiredService<ResinModels>();
        var system = _harness.Reads.Read(session => ResinStore.GetResinSystem(session, SampleStudio.Deep));

        var fitted = new object[8];
        Parallel.For(0, fitted.Length, i => fitted[i] = models.Of(system));

        Assert.All(fitted, calibration => Assert.Same(fitted[0], calibration));
        Assert.NotSame(fitted[0], models.Of(system with { Name = $"{SampleStudio.Deep}-2" }));
    }

    private static CreateResinSystemRequest System(string id, DataSheet? sheet) => new()
    {
        Parent = SampleStudio.Name,
        ResinSystemId = id,
        ResinSystem = new()
        {
            DisplayName = id,
            Basis = ResinSystem.Types.Basis.Mass,
            HardenerPartsPer100Resin = 42,
            RatioTolerancePercent = 2,
            CureClass = ResinSystem.Types.CureClass.DeepCasting,
            DataSheet = sheet,
        },
    };

    private static DataSheet Sheet(double gelHours, double? demoldHours = null, double demoldDepthMm = 30)
    {
        var sheet = new DataSheet { Version = "7", GelTime = Hours(gelHours), GelTemperatureCelsius = 20 };
        if (demoldHours is { } hours)
            (sheet.DemoldTime, sheet.DemoldDepthMm, sheet.DemoldTemperatureCelsius) = (Hours(hours), demoldDepthMm, 20);
        return sheet;
    }

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));

    private async Task<ResinSystem> CreateAsync(string id, DataSheet? sheet) => await _resins.CreateResinSystemAsync(System(id, sheet));

    /// <summary>Gel and demold of 20 mm at 20 °C.</summary>
    private async Task<double[]> LikelyHoursAsync(string id, DataSheet sheet)
    {
        var prediction = await new V1.CureService.CureServiceClient(_harness.Channel).PredictCureAsync(new()
        {
            ResinSystem = (await CreateAsync(id, sheet)).Name,
            Layers = { new PredictCureRequest.Types.Layer { DepthMm = 20, TemperatureCelsius = 20 } },
            Room = { new PredictCureRequest.Types.RoomPoint { TemperatureCelsius = 20 } },
        });
        return [.. new[] { Gate.Gel, Gate.Demold }.Select(gate => prediction.Gates.Single(g => g.Gate == gate).Likely.ToTimeSpan().TotalHours)];
    }

    /// <summary>Likely demold time of a piece 20 mm deep, poured now on the north shelf.</summary>
    private async Task<double> DemoldHoursAsync(string id, DataSheet sheet)
    {
        var system = (await CreateAsync(id, sheet)).Name;
        await SampleStudio.ReceiveAsync(_harness.Channel, system, $"{id}-a-lot", Part.A, $"{id}-a", 1_000_000);
        await SampleStudio.ReceiveAsync(_harness.Channel, system, $"{id}-b-lot", Part.B, $"{id}-b", 1_000_000);
        var mix = await new MixService.MixServiceClient(_harness.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North,
                ResinSystem = system,
                Mixer = "Asa",
                Scale = "scale-1",
                Draws = { Draw($"{id}-a", 100_000), Draw($"{id}-b", 42_000) },
            },
        });
        var pieces = new PieceService.PieceServiceClient(_harness.Channel);
        var piece = await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = $"piece-{id}", Piece = new() { Site = SampleStudio.North, Label = id } });
        await pieces.RecordPourAsync(new()
        {
            Parent = piece.Name,
            Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 100_000, DepthMm = 20, Pourer = "Asa", ResinTemperatureCelsius = 20 },
        });
        await _harness.SettleAsync();
        var forecast = await new V1.ForecastService.ForecastServiceClient(_harness.Channel).GetForecastAsync(new() { Name = $"{piece.Name}/forecasts/latest" });
        return (forecast.Gates.Single(gate => gate.Gate == Gate.Demold).LikelyTime.ToDateTimeOffset() - StudioHarness.Start).TotalHours;
    }

    private static Mix.Types.Draw Draw(string container, long massMg) => new() { Container = $"{SampleStudio.Name}/containers/{container}", MassMg = massMg };
}
