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
        _harness = await StudioHarness.StartAsync(null, "--Plans:RoundsAClass=20", "--Plans:Coolings=2", "--Plans:ProvedClasses=0");
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

    public async Task DisposeAsync()
    {
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

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

    // Four pieces lie in a room of 12 °C: nothing is said until 72 h before the machines, a decision is asked for at 48 h, and a
    // touch test is left to people.
    [Fact]
    public async Task ColdRoom_PiecesPoured_IsToldAt72HoursAndDecidedAt48()
    {
        var (pour, machine) = (_placed.Sessions[0].EndTime.ToDateTimeOffset(), _placed.Sessions[1].StartTime.ToDateTimeOffset());
        _harness.Clock.SetUtcNow(pour);
        await HeatAsync(12);
        await PourAsync(4);
        await _harness.SettleAsync();
        await AtAsync(machine.AddHours(-73));
        Assert.Empty(await ToldAsync(Kind.ClassAtRisk));
        await AtAsync(machine.AddHours(-71));
        Assert.Equal(2, (await ToldAsync(Kind.ClassAtRisk)).Count);
        Assert.Empty(await ToldAsync(Kind.ClassDecision));
        await AtAsync(machine.AddHours(-47));
        var asked = await ToldAsync(Kind.ClassDecision);
        Assert.Equal(["", _placed.Sessions[1].Instructor], asked.Select(reminder => reminder.Recipient).Order());
        Assert.All(asked, reminder => Assert.Contains("Of 1, the slowest", reminder.Text, StringComparison.Ordinal));
        Assert.Equal(2, (await ToldAsync(Kind.ClassAtRisk)).Count);
        Assert.Equal(_placed.Sessions[1].StartTime, (await ClassAsync()).Sessions[1].StartTime);
    }

    // A piece too deep for the model: nobody can say what would help it, and the word goes out all the same.
    [Fact]
    public async Task PieceThatTheModelCannotJudge_IsSpokenOfWithoutAdviceOfWarmth()
    {
        _harness.Clock.SetUtcNow(_placed.Sessions[0].EndTime.ToDateTimeOffset());
        await PourAsync(1, depthMm: 180);
        await _harness.SettleAsync();
        await AtAsync(_placed.Sessions[1].StartTime.ToDateTimeOffset().AddHours(-47));
        var asked = await ToldAsync(Kind.ClassDecision);
        Assert.Equal(2, asked.Count);
        Assert.All(asked, reminder => Assert.Contains("What would help 1 cannot be computed. Go by the data sheet", reminder.Text, StringComparison.Ordinal));
    }

    // Told at 71 h, moved by a day: taken back, and told again at 71 h before the new machine day.
    [Fact]
    public async Task MachineDayMoved_WhatWasToldIsTakenBackAndToldAnew()
    {
        var (pour, machine) = (_placed.Sessions[0].EndTime.ToDateTimeOffset(), _placed.Sessions[1].StartTime.ToDateTimeOffset());
        _harness.Clock.SetUtcNow(pour);
        await HeatAsync(12);
        await PourAsync(4);
        await _harness.SettleAsync();
        await AtAsync(machine.AddHours(-71));
        var first = await ToldAsync(Kind.ClassAtRisk);
        Assert.Equal(2, first.Count);
        _harness.Clock.Advance(TimeSpan.FromMinutes(5));
        await MoveMachineDayAsync(days: 1);
        await _harness.SettleAsync();
        var taken = await ToldAsync(Kind.ClassAtRisk);
        Assert.Equal(first.Select(reminder => reminder.Name), taken.Select(reminder => reminder.Name));
        Assert.All(taken, reminder => Assert.Equal("its machine day has changed", reminder.WithdrawReason));
        Assert.Equal(2, (await ToldAsync(Kind.Withdrawn)).Count(reminder => first.Any(told => told.Name == reminder.Subject)));
        await AtAsync(machine.AddDays(1).AddHours(-71));
        var told = await ToldAsync(Kind.ClassAtRisk);
        Assert.Equal(2, told.Count(reminder => reminder.State != Reminder.Types.State.Withdrawn));
        Assert.Equal(4, told.Count);
    }

    // By the calendar it is poured, and nothing was recorded of its pieces: nobody can say anything of them.
    [Fact]
    public async Task ColdRoom_NoPieceRecorded_IsNotSpokenOf()
    {
        await HeatAsync(12);
        await AtAsync(_placed.Sessions[1].StartTime.ToDateTimeOffset().AddHours(-47));
        Assert.Empty(await ToldAsync(Kind.ClassDecision));
    }

    private Task AtAsync(DateTimeOffset now)
    {
        _harness.Clock.SetUtcNow(now);
        return _harness.SettleAsync();
    }

    private async Task<CastingClass> ClassAsync() =>
        await new ClassService.ClassServiceClient(_harness.Channel).GetCastingClassAsync(new() { Name = _placed.CastingClass });

    private async Task MoveMachineDayAsync(int days) => await new ClassService.ClassServiceClient(_harness.Channel).ScheduleSessionsAsync(new()
    {
        Name = _placed.CastingClass,
        Reason = "The planer is away",
        Sessions =
        {
            _placed.Sessions.Select(session => new SessionTime
            {
                Kind = session.Kind, Site = _placed.Site, Bench = _placed.Bench, Instructor = session.Instructor, StartTimeOfDay = session.StartTimeOfDay,
                Date = session.Kind == Session.Types.Kind.Pour
                    ? session.Date
                    : SampleChain.Date(new DateOnly(session.Date.Year, session.Date.Month, session.Date.Day).AddDays(days)),
            }),
        },
    });

    private async Task PourAsync(int pieces, double depthMm = 30)
    {
        await SampleChain.ReceiveAsync(_harness.Channel, _placed.Site);
        var mix = await new MixService.MixServiceClient(_harness.Channel).RecordMixAsync(new()
        {
            Parent = SampleChain.Name,
            Mix = new()
            {
                Site = _placed.Site, ResinSystem = SampleChain.Deep, Mixer = "Ana", Scale = "scale-1",
                Draws =
                {
                    new Mix.Types.Draw { Container = SampleChain.DeepA, MassMg = 4_000_000 }, new Mix.Types.Draw { Container = SampleChain.DeepB, MassMg = 1_680_000 },
                },
            },
        });
        var service = new PieceService.PieceServiceClient(_harness.Channel);
        for (var i = 1; i <= pieces; i++)
        {
            var piece = await service.CreatePieceAsync(new()
            {
                Parent = SampleChain.Name, PieceId = $"board-{i}",
                Piece = new() { Site = _placed.Site, Label = $"{i}", Maker = "Mara", CastingClass = _placed.CastingClass },
            });
            await service.RecordPourAsync(new()
            {
                Parent = piece.Name,
                Pour = new() { Mix = mix.Name, Bench = _placed.Bench, MassMg = 1_000_000, DepthMm = depthMm, Pourer = "Ana", ResinTemperatureCelsius = 21, DeviationReason = depthMm > 30 ? "It was poured before anyone measured." : "" },
            });
        }
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
