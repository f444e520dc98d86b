using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;

namespace Pourwright.Studio.Tests.Plans;

public sealed class AtRiskTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private PlannedClass _placed = null!;

    private ReminderService.ReminderServiceClient Reminders => new(_harness.Channel);

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync(null, "--Plans:RoundsAClass=20", "--Plans:Coolings=2");
        await SampleChain.CreateAsync(_harness.Channel);
        await SampleChain.AskForAsync(_harness.Channel, 1);
        var plans = new PlanService.PlanServiceClient(_harness.Channel);
        using var call = plans.PlanSeason(new()
        {
            Parent = SampleChain.Name, FirstDate = SampleChain.Date(SampleChain.FirstDay), DayCount = SampleChain.PourDays, PlanId = "first",
        });
        await foreach (var _ in call.ResponseStream.ReadAllAsync()) { }
        var plan = await plans.PublishPlanAsync(new() { Name = $"{SampleChain.Name}/plans/first", Publisher = "Olive" });
        _placed = Assert.Single(plan.Placed);
        await _harness.SettleAsync();
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    // Nobody is told while the room is as planned. What is said of its heating says 12 °C: the pieces of a pour to come would not
    // be ready, and that is said at once, to the owner and to who teaches; once, however often it is looked at.
    [Fact]
    public async Task ColdOutlook_BeforeThePour_IsToldOnceAndTakenBack()
    {
        _harness.Clock.SetUtcNow(_placed.Sessions[0].StartTime.ToDateTimeOffset().AddDays(-3));
        await _harness.SettleAsync();
        Assert.Empty(await ToldAsync(Kind.ClassAtRisk));
        await HeatAsync(12);
        await _harness.SettleAsync();
        await _harness.AdvanceAsync(TimeSpan.FromMinutes(30));
        var told = await ToldAsync(Kind.ClassAtRisk);
        Assert.Equal(["", _placed.Sessions[1].Instructor], told.Select(reminder => reminder.Recipient).Order());
        Assert.All(told, reminder =>
        {
            Assert.Equal(_placed.CastingClass, reminder.Subject);
            Assert.Contains("Nothing is changed yet", reminder.Text, StringComparison.Ordinal);
            Assert.Contains("move the machine day", reminder.Text, StringComparison.Ordinal);
        });
        await HeatAsync(23);
        await _harness.SettleAsync();
        Assert.All(await ToldAsync(Kind.ClassAtRisk), reminder => Assert.Equal(Reminder.Types.State.Withdrawn, reminder.State));
    }

    [Fact]
    public async Task ColdOutlook_TwoDaysBeforeTheMachines_AsksForADecision()
    {
        await HeatAsync(12);
        _harness.Clock.SetUtcNow(_placed.Sessions[1].StartTime.ToDateTimeOffset().AddHours(-47));
        await _harness.SettleAsync();
        // Poured by the calendar, and nothing recorded of its pieces: nobody can say anything of them.
        Assert.Empty(await ToldAsync(Kind.ClassDecision));
    }

    private async Task HeatAsync(double celsius)
    {
        foreach (var bench in (string[])["shelf", "rack"])
            await new ClimateService.ClimateServiceClient(_harness.Channel).SetBenchOutlookAsync(new()
            {
                Name = $"{_placed.Site}/benches/{bench}",
                Kind = BenchOutlook.Types.Kind.Heating,
                Points =
                {
                    new BenchOutlook.Types.Point { PointTime = Timestamp.FromDateTimeOffset(_harness.Clock.GetUtcNow()), TemperatureCelsius = celsius },
                    new BenchOutlook.Types.Point { PointTime = Timestamp.FromDateTimeOffset(_harness.Clock.GetUtcNow().AddDays(24)), TemperatureCelsius = celsius },
                },
            });
    }

    private async Task<IReadOnlyList<Reminder>> ToldAsync(Kind kind) =>
        [.. (await Reminders.ListRemindersAsync(new() { Parent = SampleChain.Name })).Reminders.Where(reminder => reminder.Kind == kind)];
}
