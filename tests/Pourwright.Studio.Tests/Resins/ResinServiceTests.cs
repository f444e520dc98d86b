using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Resins;

public sealed class ResinServiceTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private ResinService.ResinServiceClient _resins = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _resins = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task CreateResinSystem_EveryFieldSet_ReadsBackAsItWasSent()
    {
        var system = new ResinSystem
        {
            DisplayName = "River table",
            Basis = ResinSystem.Types.Basis.Volume,
            HardenerPartsPer100Resin = 100.0 / 3,
            RatioTolerancePercent = 1.5,
            ADensityKgPerM3 = 1120.5,
            BDensityKgPerM3 = 990,
            CureClass = ResinSystem.Types.CureClass.DeepCasting,
            MaxDepthMm = 50,
            DepthLimitAction = ResinSystem.Types.LimitAction.Refuse,
            MaxBatchMassMg = 10_000_000,
            BatchLimitAction = ResinSystem.Types.LimitAction.Refuse,
            MinCureTemperatureCelsius = 18,
            OpenedShelfLife = Duration.FromTimeSpan(TimeSpan.FromDays(90)),
            DataSheet = new()
            {
                Version = "2025-03",
                PotLife = Duration.FromTimeSpan(TimeSpan.FromMinutes(95)),
                PotLifeBatchMassMg = 100_000,
                PotLifeTemperatureCelsius = 25,
                AmineHydrogenEquivalentWeightGPerMol = 63.5,
            },
        };

        var created = await _resins.CreateResinSystemAsync(new() { Parent = SampleStudio.Name, ResinSystemId = "river", ResinSystem = system });

        system.Name = "studios/alder/resinSystems/river";
        Assert.Equal(system, created);
        Assert.Equal(system, await _resins.GetResinSystemAsync(new() { Name = system.Name }));
        Assert.Contains(system, (await _resins.ListResinSystemsAsync(new() { Parent = SampleStudio.Name })).ResinSystems);
    }

    [Fact]
    public async Task CreateResinSystem_LittleSaid_WarnsAndCuresFromFifteenDegrees()
    {
        var created = await _resins.CreateResinSystemAsync(new()
        {
            Parent = SampleStudio.Name,
            ResinSystem = new()
            {
                DisplayName = "Plain",
                Basis = ResinSystem.Types.Basis.Mass,
                HardenerPartsPer100Resin = 42,
                RatioTolerancePercent = 2,
                CureClass = ResinSystem.Types.CureClass.FastCoating,
            },
        });

        Assert.Equal(15, created.MinCureTemperatureCelsius);
        Assert.Equal((ResinSystem.Types.LimitAction.Warn, ResinSystem.Types.LimitAction.Warn), (created.DepthLimitAction, created.BatchLimitAction));
        Assert.False(created.HasMaxDepthMm || created.HasMaxBatchMassMg || created.HasADensityKgPerM3);
        Assert.Null(created.DataSheet);
    }
}
