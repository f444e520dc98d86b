using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Suspects;
using Pourwright.Testing;
using Pourwright.V1;
using Grouping = Pourwright.V1.GetSiteWatchRequest.Types.Grouping;
using Kind = Pourwright.V1.Defect.Types.Kind;

namespace Pourwright.Studio.Tests.Suspects;

public sealed class SiteWatchTests : IAsyncLifetime
{
    private SeededStudio _studio = null!;

    public async Task InitializeAsync() => _studio = await SeededStudio.StartAsync();

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    // One an hour, all demolded after 72 h. Sum: +8 with a soft piece, −1 with a fine one: f f S f S S is 0 0 8 7 15 23, at 20 it calls.
    // It last left 0 with the third piece.
    private static Seeded[] Run(string site, string pattern, double fromHour = 0) =>
        [.. pattern.Select((c, i) => new Seeded($"{site}-{fromHour:0}-{i}", fromHour + i) { Site = site, Class = $"class-{i / 3}", Defect = c == 'S' ? Kind.Soft : null })];

    [Fact]
    public async Task GetSiteWatch_RunOfDefects_NamesThePieceWithWhichItBegan()
    {
        await _studio.SaveAsync([.. Run("north", "ffSfSSf"), .. Run("south", "fSff")]);

        var watch = await _studio.Suspects.GetSiteWatchAsync(new() { Name = SampleStudio.Name, Kinds = { Kind.Soft }, Grouping = Grouping.Class });

        Assert.Equal([SampleStudio.North, SampleStudio.South], watch.Sites.Select(site => site.Site));
        var alarm = Assert.Single(watch.Sites[0].Alarms);
        Assert.Equal((SeededStudio.PieceNamed("north-0-2"), SeededStudio.PieceNamed("north-0-5"), 4, 3), (alarm.FirstPiece, alarm.LastPiece, alarm.PieceCount, alarm.DefectiveCount));
        Assert.Equal(SeededStudio.Start.AddHours(2 + 72), alarm.FirstInspectTime.ToDateTimeOffset());
        Assert.StartsWith("north: 3 of 4 pieces inspected in a row are defective, from north-0-2 to north-0-5.", alarm.Text, StringComparison.Ordinal);
        // South: 0 8 7 6, under way since its second piece.
        Assert.Equal((6, SeededStudio.PieceNamed("south-0-1")), (watch.Sites[1].SumCount, watch.Sites[1].FirstPiece));
        Assert.Equal(["class-0 3 1", "class-1 3 2", "class-2 1 0"], watch.Sites[0].Points.Select(point => $"{point.Group} {point.PieceCount} {point.DefectiveCount}"));
    }

    // 6 February 2026 is a Friday: 72 h later it is Monday, week 7.
    [Fact]
    public async Task GetSiteWatch_ByWeek_CountsByTheDayOfInspection()
    {
        await _studio.SaveAsync([.. Run("north", "fS"), .. Run("north", "ff", 168)]);

        var watch = await _studio.Suspects.GetSiteWatchAsync(new() { Name = SampleStudio.North });

        Assert.Equal(["2026-W07 2 1", "2026-W08 2 0"], Assert.Single(watch.Sites).Points.Select(point => $"{point.Group} {point.PieceCount} {point.DefectiveCount}"));
    }

    [Fact]
    public async Task NoticeAlarms_NewAlarm_IsToldOnceWithItsFirstPiece()
    {
        _studio.Harness.Clock.Advance(TimeSpan.FromDays(5));
        await _studio.SaveAsync(Run("north", "ffSfS"));
        await _studio.Harness.SettleAsync();
        Assert.Empty(await AlarmsAsync());

        await _studio.SaveAsync(Run("north", "S", 5));
        await _studio.Harness.SettleAsync();
        var told = Assert.Single(await AlarmsAsync());
        Assert.Equal((Contact.Types.Role.Owner, SampleStudio.North), (told.RecipientRole, told.Site));
        Assert.Contains("It began with piece north-0-2", told.Text, StringComparison.Ordinal);

        await _studio.Harness.RestartAsync();
        await _studio.SaveAsync(Run("north", "S", 6));
        await _studio.Harness.SettleAsync();
        Assert.Single(await AlarmsAsync());

        // The sum began anew: 8 after the seventh, 16 and 24 with two more.
        await _studio.SaveAsync(Run("north", "SS", 7));
        await _studio.Harness.SettleAsync();
        Assert.Contains("It began with piece north-6-0", (await AlarmsAsync())[1].Text, StringComparison.Ordinal);
    }

    // A piece brought in late, inspected before the run began: the run of the alarm stays the same one.
    [Fact]
    public async Task NoticeAlarms_LateRecord_DoesNotTellTheSameAlarmAgain()
    {
        _studio.Harness.Clock.Advance(TimeSpan.FromDays(5));
        await _studio.SaveAsync(Run("north", "ffSfSS"));
        await _studio.Harness.SettleAsync();

        // Soft, at 1.5 h: the sum leaves 0 there already, and calls with the fifth: 8 16 15 23.
        await _studio.SaveAsync(Run("north", "S", 1.5));
        await _studio.Harness.SettleAsync();

        Assert.Single(await AlarmsAsync());
    }

    [Fact]
    public async Task NoticeAlarms_OldHistory_IsNoNews()
    {
        _studio.Harness.Clock.Advance(TimeSpan.FromDays(30));
        await _studio.SaveAsync(Run("north", "SSS"));
        await _studio.Harness.SettleAsync();

        Assert.Empty(await AlarmsAsync());
    }

    private async Task<IReadOnlyList<Reminder>> AlarmsAsync() =>
        [.. (await new V1.ReminderService.ReminderServiceClient(_studio.Harness.Channel).ListRemindersAsync(new() { Parent = SampleStudio.Name })).Reminders
            .Where(reminder => reminder.Kind == Reminder.Types.Kind.DefectAlarm)];
}
