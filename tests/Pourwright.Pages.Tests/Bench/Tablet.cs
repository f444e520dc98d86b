using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Bench;

/// <summary>What an instructor does on the tablet, tap by tap.</summary>
internal sealed class Tablet(IPage page)
{
    public IPage Page => page;

    public int Taps { get; private set; }

    private ILocator Root => page.Locator("#bench");

    /// <summary>Opens the bench of the north site and says who is there.</summary>
    public static async Task<Tablet> OpenAsync(IBrowserContext context)
    {
        var page = await context.NewPageAsync();
        await page.GotoAsync("/studios/alder/bench/north");
        var tablet = new Tablet(page);
        await tablet.IsReadyAsync();
        await page.Locator("#who").FillAsync("Ivo");
        return tablet;
    }

    public Task IsReadyAsync() => Expect(Root).ToHaveAttributeAsync("data-ready", "true");

    /// <summary>The page would open without the network.</summary>
    public Task IsKeptAsync() => Expect(Root).ToHaveAttributeAsync("data-kept", "true");

    public Task WaitsAsync(int count) => Expect(Root).ToHaveAttributeAsync("data-waiting", $"{count}", new() { Timeout = 20_000 });

    public async Task HasRecordedAsync(int count)
    {
        await Expect(Entries).ToHaveCountAsync(count);
        await WaitsAsync(0);
    }

    public Task TapAsync(string button) => TapAsync(page.GetByRole(AriaRole.Button, new() { Name = button, Exact = true }));

    public Task TapAsync(ILocator button)
    {
        Taps++;
        return button.ClickAsync();
    }

    /// <summary>A batch of that size, weighed on target.</summary>
    public async Task LogMixAsync(string size)
    {
        var before = await page.Locator("#entries .entry").CountAsync();
        await TapAsync(page.Locator("#sizes").GetByRole(AriaRole.Button, new() { Name = size, Exact = true }));
        await TapAsync("Log this mix");
        await Expect(page.Locator("#entries .entry")).ToHaveCountAsync(before + 1);
    }

    /// <summary>Weighs by hand.</summary>
    public async Task WeighAsync(string aGrams, string bGrams)
    {
        await page.Locator("#part-A .mass").FillAsync(aGrams);
        await page.Locator("#part-B .mass").FillAsync(bGrams);
    }

    public ILocator Verdict => page.Locator("#verdict");

    public ILocator Entries => page.Locator("#entries .entry");
}
