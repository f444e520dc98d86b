using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Season;

/// <summary>The day is over when somebody looked after the rags.</summary>
[Collection(nameof(ChromiumBrowser))]
public sealed class CloseTests(ChromiumBrowser browser)
{
    [Fact]
    public async Task Session_ClosesWithTheRagTickOnly()
    {
        await using var harness = await StudioHarness.StartAsync();
        await SampleSeason.CreateAsync(harness.Channel);
        // The pour at Pier Hall is on 7 March at 10:00, the machine day on the 9th.
        harness.Clock.Advance(new DateTimeOffset(2026, 3, 8, 12, 0, 0, TimeSpan.Zero) - StudioHarness.Start);
        await harness.SettleAsync();
        await using var context = await browser.OpenAsync(harness.HttpAddress);
        var page = await context.NewPageAsync();

        await page.GotoAsync("/studios/alder");
        await page.GetByRole(AriaRole.Link, new() { Name = "Trays pier-spring: Pour" }).ClickAsync();
        await page.GetByLabel("Who").FillAsync("Rui");
        await page.GetByRole(AriaRole.Button, new() { Name = "Close" }).ClickAsync();
        await Expect(page.Locator(".refused")).ToContainTextAsync("Rags with drying oil can set themselves on fire");

        await page.GetByRole(AriaRole.Link, new() { Name = "Back" }).ClickAsync();
        await page.GetByLabel("I looked: rags with oil").CheckAsync();
        await page.GetByLabel("Who").FillAsync("Rui");
        await page.GetByRole(AriaRole.Button, new() { Name = "Close" }).ClickAsync();
        await Expect(page.Locator("main")).ToContainTextAsync("Pour closed");

        var closed = await new ClassService.ClassServiceClient(harness.Channel).GetSessionAsync(new() { Name = $"{SampleSeason.PierSpring}/sessions/pour" });
        Assert.Equal("Rui", closed.Closer);
        await harness.SettleAsync();
    }
}
