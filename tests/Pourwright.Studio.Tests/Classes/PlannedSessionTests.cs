using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;

namespace Pourwright.Studio.Tests.Classes;

/// <summary>Pieces of a class whose machine day, 28 February at 9:00, is moved by two weeks.</summary>
public sealed class PlannedSessionTests : IAsyncLifetime
{
    private static readonly Timestamp Before = ClassStudio.At("2026-02-28 09:00"), After = ClassStudio.At("2026-03-14 09:00"), Own = ClassStudio.At("2026-02-27 18:00");

    private readonly ClassStudio _studio = new();

    private PieceService.PieceServiceClient Pieces => new(_studio.Harness.Channel);

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await _studio.AskAsync();
        await SampleStudio.ReceiveLotsAsync(_studio.Harness);
        await _studio.Classes.ScheduleSessionsAsync(ClassStudio.Schedule());
        await _studio.GoToAsync("2026-02-27 12:00");
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    [Fact]
    public async Task MachineDayMoved_PiecesPlannedForItFollow_AndThoseWithATimeOfTheirOwnStay()
    {
        var (one, own, none) = (await PieceAsync("one", Before), await PieceAsync("own", Own), await PieceAsync("none", null));

        await MoveAsync();

        Assert.Equal(After, (await Pieces.GetPieceAsync(new() { Name = one })).PlannedSessionTime);
        Assert.Equal(Own, (await Pieces.GetPieceAsync(new() { Name = own })).PlannedSessionTime);
        Assert.Null((await Pieces.GetPieceAsync(new() { Name = none })).PlannedSessionTime);
    }

    /// <summary>Poured on the day before, it is late for the session as it was, and in time for the one that it is now.</summary>
    [Fact]
    public async Task MachineDayMoved_PieceThatWasAtRiskForIt_IsTakenBack()
    {
        await PourAsync(await PieceAsync("one", Before));
        Assert.Equal(State.Sent, Assert.Single(_studio.Reminders(Kind.AtRisk)).State);

        await MoveAsync();

        Assert.Equal(State.Withdrawn, Assert.Single(_studio.Reminders(Kind.AtRisk)).State);
        var notice = Assert.Single(_studio.Reminders(Kind.Withdrawn), told => told.Text.StartsWith("Piece one: ", StringComparison.Ordinal));
        Assert.Contains("in time again", notice.Text, StringComparison.Ordinal);
    }

    private async Task MoveAsync()
    {
        var later = ClassStudio.Schedule(reason: "The planer is away");
        later.Sessions[1].Date = ClassStudio.Day(2026, 3, 14);
        await _studio.Classes.ScheduleSessionsAsync(later);
        await _studio.Harness.SettleAsync();
    }

    private async Task<string> PieceAsync(string id, Timestamp? planned) => (await Pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id, CastingClass = ClassStudio.Trays, PlannedSessionTime = planned },
    })).Name;

    private async Task PourAsync(string piece)
    {
        var mix = await new MixService.MixServiceClient(_studio.Harness.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo", Scale = "scale-1",
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 100_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 42_000 } },
            },
        });
        await Pieces.RecordPourAsync(new()
        {
            Parent = piece,
            Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 50_000, DepthMm = 30, Pourer = "Ivo", ResinTemperatureCelsius = 21 },
        });
        await _studio.Harness.SettleAsync();
    }
}
