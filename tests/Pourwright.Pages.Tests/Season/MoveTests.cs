using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Season;

/// <summary>The owner moves a class: tried first, then said, then taken back.</summary>
[Collection(nameof(ChromiumBrowser))]
public sealed class MoveTests(ChromiumBrowser browser) : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private IBrowserContext _context = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleSeason.CreateAsync(_harness.Channel);
        _context = await browser.OpenAsync(_harness.HttpAddress);
    }

    public async Task DisposeAsync()
    {
        await _context.DisposeAsync();
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    private async Task<string> MachineDayAsync()
    {
        var found = await new ClassService.ClassServiceClient(_harness.Channel).GetCastingClassAsync(new() { Name = SampleSeason.HofSpring });
        var session = found.Sessions.Single(session => session.Kind == Session.Types.Kind.Machine);
        return $"{session.Date.Month}-{session.Date.Day} {session.StartTimeOfDay.Hours}:{session.StartTimeOfDay.Minutes:00}";
    }

    [Fact]
    public async Task Move_IsTriedThenSaidThenTakenBack()
    {
        var page = await _context.NewPageAsync();
        await page.GotoAsync($"/{SampleSeason.HofSpring}");
        Assert.Equal("3-30 9:00", await MachineDayAsync());

        var machine = page.Locator("form.session-row", new() { HasText = "Machine day" });
        await machine.Locator("[name=date]").FillAsync("2026-04-02");
        await machine.GetByRole(AriaRole.Button).ClickAsync();
        await Expect(page.Locator(".tried")).ToContainTextAsync("2 students have a seat and would be told.");
        Assert.Equal("3-30 9:00", await MachineDayAsync());

        await page.GetByLabel("Reason, as students read it").FillAsync("The planer is away until Wednesday.");
        await page.GetByRole(AriaRole.Button, new() { Name = "Move it and tell people" }).ClickAsync();
        await Expect(page.Locator(".undo")).ToContainTextAsync("Machine day was moved");
        Assert.Equal("4-2 9:00", await MachineDayAsync());

        await page.GetByRole(AriaRole.Button, new() { Name = "↶ Take it back to Mon 30 Mar 09:00" }).ClickAsync();
        await Expect(page.Locator(".undo")).ToHaveCountAsync(0);
        Assert.Equal("3-30 9:00", await MachineDayAsync());
    }

    [Fact]
    public async Task Move_BeforeThePour_SaysWhyItCannotBe()
    {
        var page = await _context.NewPageAsync();

        await page.GotoAsync($"/{SampleSeason.HofSpring}?session=Machine&date=2026-03-20");

        await Expect(page.Locator(".tried")).ToContainTextAsync("It cannot be done:");
        await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Move it and tell people" })).ToHaveCountAsync(0);
    }

    [Fact]
    public async Task Drag_OpensTheClassWithTheMoveTried()
    {
        var page = await _context.NewPageAsync();
        await page.GotoAsync("/studios/alder/season?from=2026-03-23");
        var session = page.Locator(".session.machine").First;
        var box = (await session.BoundingBoxAsync())!;
        var day = (await page.Locator(".season").BoundingBoxAsync())!.Width / 42;

        await page.Mouse.MoveAsync(box.X + box.Width / 2, box.Y + box.Height / 2);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(box.X + box.Width / 2 + 3 * day, box.Y + box.Height / 2, new() { Steps = 5 });
        await page.Mouse.UpAsync();

        await page.WaitForURLAsync("**/classes/hof-spring?session=Machine&date=2026-04-02*");
        await Expect(page.Locator(".tried")).ToBeVisibleAsync();
        Assert.Equal("3-30 9:00", await MachineDayAsync());
    }
}
