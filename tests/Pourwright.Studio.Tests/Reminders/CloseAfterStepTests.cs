using Pourwright.Studio.Reminders;
using Pourwright.V1;
using Kind = Pourwright.V1.Reminder.Types.Kind;
using State = Pourwright.V1.Reminder.Types.State;
using StepKind = Pourwright.V1.Step.Types.Kind;

namespace Pourwright.Studio.Tests.Reminders;

public sealed class CloseAfterStepTests
{
    private static readonly DateTimeOffset Nine = ReminderDesk.Start;

    [Theory]
    [InlineData(StepKind.Move, new Kind[0])]
    [InlineData(StepKind.Demold, new[] { Kind.DemoldReady })]
    [InlineData(StepKind.Saw, new[] { Kind.DemoldReady, Kind.HandleReady, Kind.AtRisk })]
    [InlineData(StepKind.Sand, new Kind[0])]
    [InlineData(StepKind.HandOver, new[] { Kind.DemoldReady, Kind.HandleReady, Kind.AtRisk, Kind.Exotherm, Kind.Withdrawn })]
    [InlineData(StepKind.Scrap, new[] { Kind.DemoldReady, Kind.HandleReady, Kind.AtRisk, Kind.Exotherm, Kind.Withdrawn })]
    public void Decide_ByStep_SettlesWhatItMakesPointless(StepKind step, Kind[] settled)
    {
        Kind[] kinds = [Kind.DemoldReady, Kind.HandleReady, Kind.AtRisk, Kind.Exotherm, Kind.Withdrawn];

        var changes = CloseAfterStep.Decide(step, "Ivo", [.. kinds.Select(kind => Of(kind, State.Pending))]);

        Assert.Equal(settled.Select(kind => kind.ToString()), changes.Withdrawals.Select(w => w.Name));
        Assert.Empty(changes.Drafts);
    }

    [Theory]
    [InlineData(State.Pending, 1, 0)]
    [InlineData(State.Sent, 0, 1)]
    [InlineData(State.Acknowledged, 0, 0)]
    [InlineData(State.Withdrawn, 0, 0)]
    public void Decide_ByState_ClosesWhatWaitsAndCountsWhatIsOutAsAnswered(State state, int closed, int answered)
    {
        var changes = CloseAfterStep.Decide(StepKind.Demold, "Ivo", [Of(Kind.DemoldReady, state)]);

        Assert.Equal((closed, answered), (changes.Withdrawals.Count, changes.Answers.Count(answer => answer.Worker == "Ivo")));
    }

    [Fact]
    public async Task RecordStep_Demold_ClosesThePendingReminder()
    {
        await using var desk = await ReminderDesk.StartAsync();
        var piece = await desk.AddPieceAsync("walnut-7", pouredHoursAgo: 30);
        await desk.ForecastAsync(piece, Nine.AddHours(1), Nine.AddHours(10));
        await desk.Harness.SettleAsync();

        await new PieceService.PieceServiceClient(desk.Harness.Channel).RecordStepAsync(
            new() { Parent = piece, Step = new() { Kind = StepKind.Demold, Worker = "Ivo" } });
        await desk.Harness.AdvanceAsync(TimeSpan.FromHours(2));

        Assert.Equal((State.Withdrawn, State.Pending), (desk.Single(Kind.DemoldReady).State, desk.Single(Kind.HandleReady).State));
        Assert.Equal("settled by a step: Demold", desk.Single(Kind.DemoldReady).WithdrawReason);
    }

    private static ReminderRecord Of(Kind kind, State state) => new()
    {
        Name = kind.ToString(),
        Studio = ReminderDesk.Studio,
        Kind = kind,
        State = state,
        Subject = $"{ReminderDesk.Studio}/pieces/walnut-7",
        Text = "",
        RecipientRole = Contact.Types.Role.Instructor,
        RemindMs = 0,
    };
}
