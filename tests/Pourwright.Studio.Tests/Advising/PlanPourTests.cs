using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Cure.Advice;
using Pourwright.Cure.Ladder;
using Pourwright.Cure.Readiness;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Testing;
using Pourwright.V1;
using CureClass = Pourwright.V1.ResinSystem.Types.CureClass;
using DepthBound = Pourwright.V1.PourPlan.Types.DepthBound;

namespace Pourwright.Studio.Tests.Advising;

public sealed class PlanPourTests : IAsyncLifetime
{
    private CastingDesk _desk = null!;

    public async Task InitializeAsync() => _desk = await CastingDesk.StartAsync();

    public async Task DisposeAsync() => await _desk.DisposeAsync();

    [Fact]
    public async Task Plan_OfADepthThatIsSafeAtOnce_IsOnePourAndWhatTheEngineSays()
    {
        var before = _desk.Rows();
        var request = AdviceDesk.Pour(30);
        (request.Bench, request.RoomTemperatureCelsius) = ("", 20);
        var plan = await _desk.Advice().PlanPourAsync(request);

        var engine = _desk.Engine(30, 21, new AmbientPoint(0, 20));
        var layer = Assert.Single(plan.Layers);
        Assert.Equal((1, 30.0, StudioHarness.Start), (layer.LayerCount, layer.DepthMm, layer.PourTime.ToDateTimeOffset()));
        Assert.Null(layer.Window);
        Assert.Equal((engine.Peak.LowCelsius, engine.Peak.HighCelsius), (plan.OnePourPeak.LowCelsius, plan.OnePourPeak.HighCelsius));
        Assert.Equal(engine.Peak.RunawayMargin, plan.OnePourPeak.RunawayMarginRatio);
        Assert.Equal(
            StudioHarness.Start.AddHours(engine[LadderGate.Handle].Times.SafeHours!.Value),
            plan.Gates.Single(gate => gate.Gate == Gate.Handle).SafeTime.ToDateTimeOffset(), TimeSpan.FromMilliseconds(1));
        Assert.Contains("Held at 20 °C", plan.RoomAssumption);
        Assert.Equal(20, plan.RoomTemperatureCelsius);
        Assert.Contains("SHEET_DECIDES", Reasons(plan));
        Assert.DoesNotContain("POT_LEFTOVERS", Reasons(plan));
        Assert.Equal(before, _desk.Rows());
    }

    // The sheet of the sample resin allows 40 mm. With room and resin at 24 °C the model says less; at 15 °C it would allow more, and
    // the sheet does not.
    [Theory]
    [InlineData(24, DepthBound.Peak)]
    [InlineData(15, DepthBound.DataSheet)]
    public async Task Plan_OfTheDeepestLayer_IsTheLesserOfModelAndSheet(double roomCelsius, DepthBound bound)
    {
        var request = AdviceDesk.Pour(30);
        (request.Bench, request.RoomTemperatureCelsius, request.ResinTemperatureCelsius) = ("", roomCelsius, roomCelsius);

        var plan = await _desk.Advice().PlanPourAsync(request);

        Assert.Equal((bound, 40.0), (plan.DepthBound, plan.MaxDepthMm));
        Assert.Equal(bound == DepthBound.DataSheet, plan.DeepestLayerMm == 40);
        Assert.True(plan.DeepestLayerMm <= 40 && plan.DeepestLayerPeak.HighCelsius <= 80);
        Assert.Contains("as stated", plan.RoomAssumption);
    }

    // 60 mm at once run away; as two layers the second is poured inside the window of the first.
    [Fact]
    public async Task Plan_OfTooDeepAPour_IsLayersInTheirWindows()
    {
        var plan = await _desk.Advice().PlanPourAsync(AdviceDesk.Pour(60));

        Assert.Equal(2, plan.Layers.Count);
        Assert.Contains("RUNAWAY_RISK", Reasons(plan));
        Assert.Contains("DEPTH_OVER_LIMIT", Reasons(plan));
        var (first, second) = (plan.Layers[0], plan.Layers[1]);
        Assert.Equal(60, first.DepthMm + second.DepthMm, 1e-9);
        Assert.Equal(second.Window.BestTime, second.PourTime);
        Assert.InRange(second.Window.BestShareRatio, 0.5, 1);
        Assert.True(second.Window.OpensEarliestTime < second.PourTime && second.PourTime > first.PourTime);
        Assert.All(plan.Layers, layer => Assert.True(layer.Peak.HighCelsius <= 80 && layer.Peak.RunawayMarginRatio <= 0.40));
        Assert.True(plan.Gates.Single(gate => gate.Gate == Gate.Demold).SafeTime > second.PourTime);
    }

    // Clocks in Lisbon go from 01:00 to 02:00 on Sunday 29 March. Poured on Saturday at 12:00 the second layer comes the same
    // number of elapsed hours later as on any other Saturday: an hour later on the clock of the wall.
    [Fact]
    public async Task Plan_AcrossAClockChange_CountsElapsedHours()
    {
        var (winter, change) = (AdviceDesk.Pour(60), AdviceDesk.Pour(60));
        winter.FirstPourTime = Utc(2026, 3, 21, 12);
        change.FirstPourTime = Utc(2026, 3, 28, 12);

        var (usual, shifted) = (await _desk.Advice().PlanPourAsync(winter), await _desk.Advice().PlanPourAsync(change));

        Assert.Equal(Wait(usual), Wait(shifted));
        var lisbon = TimeZoneInfo.FindSystemTimeZoneById("Europe/Lisbon");
        DateTime Clock(PourPlan plan) => TimeZoneInfo.ConvertTime(plan.Layers[1].PourTime.ToDateTimeOffset(), lisbon).DateTime;
        Assert.Equal(new TimeSpan(7, 1, 0, 0), Clock(shifted) - Clock(usual));
    }

    // A bench in a cellar of 12 °C, under the 15 °C of the sheet; and a logger that read 24 °C for the last hours wins over the plan.
    [Fact]
    public async Task Plan_AtABench_KnowsItsRoom()
    {
        var cold = AdviceDesk.Pour(20);
        cold.Bench = CastingDesk.ColdBench;
        var cellar = await _desk.Advice().PlanPourAsync(cold);
        Assert.Contains("ROOM_TOO_COLD", Reasons(cellar));
        Assert.Equal(12, cellar.RoomTemperatureCelsius);

        await _desk.ReadAsync([.. Enumerable.Range(-5, 6).Select(hour => ((double)hour, 24.0))]);
        var warm = await _desk.Advice().PlanPourAsync(AdviceDesk.Pour(20));
        Assert.Equal(24, warm.RoomTemperatureCelsius, 1e-9);
        Assert.Contains("last reading, 24.0 °C", warm.RoomAssumption);
        Assert.True(warm.OnePourPeak.HighCelsius > cellar.OnePourPeak.HighCelsius);
    }

    // 40 mm of the quick resin run away in any layers that still bond: the answer names the deepest layer and sanding between.
    [Fact]
    public async Task Plan_ThatCannotBe_SaysWhyAndTheWayOut()
    {
        var plan = await _desk.Advice().PlanPourAsync(new()
        {
            CureClass = CureClass.FastCoating, RoomTemperatureCelsius = 20, ResinTemperatureCelsius = 20, TotalDepthMm = 40,
        });

        Assert.Empty(plan.Layers);
        Assert.Empty(plan.Gates);
        Assert.Equal(PourPlan.Types.Obstacle.TooHot, plan.Obstacle);
        // 8.8665 mm by the engine: 40/8.8665 = 4.5, five layers.
        Assert.Contains("5 layers of at most 8.8 mm", plan.ObstacleText);
        Assert.Contains("cooler room, a slower resin", plan.ObstacleText);
        Assert.Contains("sanded to a key", plan.ObstacleText);
    }

    // A class alone leaves the rate wide open: fewer than half of the cases meet the second layer's window, and one caution says so.
    [Fact]
    public async Task Plan_OfAResinWithoutASheet_SaysHowUnsureItsWindowsAre()
    {
        var plan = await _desk.Advice().PlanPourAsync(new()
        {
            CureClass = CureClass.DeepCasting, RoomTemperatureCelsius = 20, ResinTemperatureCelsius = 20, TotalDepthMm = 60,
        });
        var share = plan.Layers[1].Window.BestShareRatio;
        Assert.True(share < 0.5);
        Assert.Contains($"in {100 * share:0} of 100 cases", plan.Cautions.Single(caution => caution.Reason == "WINDOW_UNSURE").Text);
        Assert.DoesNotContain("WINDOW_UNSURE", Reasons(await _desk.Advice().PlanPourAsync(AdviceDesk.Pour(60))));
    }

    // 200 mm at once are beyond the model; there is still a plan, and no peak that nobody computed.
    [Fact]
    public async Task Plan_DeeperThanTheModel_HasNoPeakOfOnePour()
    {
        var plan = await _desk.Advice().PlanPourAsync(AdviceDesk.Pour(200));
        Assert.Null(plan.OnePourPeak);
        Assert.True(plan.Layers.Count is 0 or > 4);
    }

    // A full bucket of 200 x 200 mm is 6.91 kg of this resin (π/4 · 2² dm² · 2 dm · 1.1 kg/l); the sheet allows 5 kg.
    [Fact]
    public async Task Plan_OfABatch_IsNoLargerThanSheetAndWorkAllow()
    {
        var request = AdviceDesk.Pour(30);
        (request.Vessel, request.WorkingDuration) = (new() { DiameterMm = 200, HeightMm = 200 }, Hours(1));
        var plan = await _desk.Advice().PlanPourAsync(request);

        Assert.Equal(6_911_503, plan.PlannedBatch.MassMg);
        Assert.Equal((5_000_000, PourPlan.Types.BatchBound.DataSheet), (plan.LargestBatch.MassMg, plan.BatchBound));
        var engine = BatchHeat.Of(_desk.Deep().Model, 5_000_000, new(200, 200), 21, 20);
        Assert.Equal(engine.Hours, plan.LargestBatch.WorkingDuration.ToTimeSpan().TotalHours, 1e-6);
        Assert.True(plan.LargestBatch.WorkingDuration.ToTimeSpan() > plan.PlannedBatch.WorkingDuration.ToTimeSpan());
        Assert.Contains("shallow trays outdoors", plan.Cautions.Single(caution => caution.Reason == "POT_LEFTOVERS").Text);

        // A little longer than five kilograms last: then the work is what bounds it.
        request.WorkingDuration = Hours(engine.Hours + 0.3);
        var longer = await _desk.Advice().PlanPourAsync(request);
        Assert.Equal(PourPlan.Types.BatchBound.WorkingTime, longer.BatchBound);
        Assert.True(longer.LargestBatch.MassMg < 5_000_000);
        Assert.True(longer.LargestBatch.WorkingDuration.ToTimeSpan() >= request.WorkingDuration.ToTimeSpan());
    }

    // The edge of a narrow channel cures later; the peak is left on the hot side.
    [Fact]
    public async Task Plan_OfANarrowChannel_IsLaterAndNoCooler()
    {
        var narrow = AdviceDesk.Pour(30);
        narrow.ChannelWidthMm = 60;
        var (wide, channel) = (await _desk.Advice().PlanPourAsync(AdviceDesk.Pour(30)), await _desk.Advice().PlanPourAsync(narrow));
        Assert.Equal(wide.OnePourPeak, channel.OnePourPeak);
        Assert.True(Demold(channel) > Demold(wide));
    }

    [Theory]
    [InlineData("RESIN_SYSTEM_NOT_FOUND", "studios/alder/resinSystems/none", SampleStudio.NorthBench)]
    [InlineData("BENCH_NOT_FOUND", SampleStudio.Deep, "studios/alder/sites/north/benches/none")]
    public async Task Plan_OfSomethingUnknown_IsRefused(string reason, string system, string bench)
    {
        var request = AdviceDesk.Pour(30);
        (request.ResinSystem, request.Bench) = (system, bench);
        Assert.Equal(reason, await CastingDesk.ReasonAsync(async () => await _desk.Advice().PlanPourAsync(request)));
    }

    [Fact]
    public async Task Plan_OfABatchOverTheBrim_IsOutsideTheModel()
    {
        var request = AdviceDesk.Pour(30);
        (request.Vessel, request.BatchMassMg) = (new() { DiameterMm = 100, HeightMm = 100 }, 5_000_000);
        Assert.Equal("CURE_MODEL_RANGE", await CastingDesk.ReasonAsync(async () => await _desk.Advice().PlanPourAsync(request)));
    }

    private static IEnumerable<string> Reasons(PourPlan plan) => plan.Cautions.Select(caution => caution.Reason);

    private static DateTimeOffset Demold(PourPlan plan) => plan.Gates.Single(gate => gate.Gate == Gate.Demold).SafeTime.ToDateTimeOffset();

    private static TimeSpan Wait(PourPlan plan) => plan.Layers[1].PourTime.ToDateTimeOffset() - plan.Layers[0].PourTime.ToDateTimeOffset();

    private static Timestamp Utc(int year, int month, int day, int hour) =>
        Timestamp.FromDateTimeOffset(new(year, month, day, hour, 0, 0, TimeSpan.Zero));

    private static Duration Hours(double hours) => Duration.FromTimeSpan(TimeSpan.FromHours(hours));
}
