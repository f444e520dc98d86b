using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Defects;

/// <summary>A soft piece comes back: from the report to held sisters and a recall, by clicks alone.</summary>
[Collection(nameof(ChromiumBrowser))]
public sealed class DefectFlowTests(ChromiumBrowser browser) : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private IPage _page = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        await FilledStudio.FillAsync(_harness);
        _page = await (await browser.OpenAsync(_harness.HttpAddress)).NewPageAsync();
    }

    public async Task DisposeAsync()
    {
        await _page.Context.DisposeAsync();
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    private async Task<bool> IsHeldAsync(int number) => (await new PieceService.PieceServiceClient(_harness.Channel)
        .GetPieceAsync(new() { Name = $"studios/alder/pieces/piece-{number}" })).Held;

    private Task ClickAsync(string button) => _page.GetByRole(AriaRole.Button, new() { Name = button }).ClickAsync();

    [Fact]
    public async Task SoftPiece_LeadsToHeldSistersAndARecall()
    {
        await _page.GotoAsync("/studios/alder/pieces/piece-1");
        await _page.GetByRole(AriaRole.Link, new() { Name = "Report a defect" }).ClickAsync();
        await _page.GetByLabel("Who").FillAsync("Olive");
        await ClickAsync("Report");

        await Expect(_page.Locator("h1")).ToHaveTextAsync("soft all through: Piece 1");
        Assert.False(await IsHeldAsync(2));
        await ClickAsync("Hold what is of the same mix");
        await Expect(_page.Locator("h1")).ToContainTextAsync("Sisters are held");
        // Pieces 1 to 3 are of mix-1, piece 4 is of mix-2.
        Assert.Equal((true, false), (await IsHeldAsync(2), await IsHeldAsync(4)));
        // 3,000 g of A and 1,260 g of B, of which three pieces took 1,000 g each.
        await Expect(_page.GetByRole(AriaRole.Region, new() { Name = "In the bucket: do not pour" })).ToContainTextAsync("mix-1 · north · 1,260 g");

        await _page.GetByRole(AriaRole.Link, new() { Name = "Back" }).ClickAsync();
        await _page.Locator("select[name=scope]").SelectOptionAsync(new SelectOptionValue { Value = "studios/alder/lots/deep-b-lot" });
        await _page.GetByLabel("Reason").FillAsync("Soft pieces.");
        await ClickAsync("Show what it reaches");
        await Expect(_page.Locator("main")).ToContainTextAsync("5 pieces, 0 of them handed over");
        Assert.False(await IsHeldAsync(4));

        await ClickAsync("Start it: hold all of it, tell everyone");
        await _page.WaitForURLAsync("**/recalls/*");
        Assert.True(await IsHeldAsync(4));
        await Expect(_page.GetByRole(AriaRole.Region, new() { Name = "In the bucket: do not pour" })).ToContainTextAsync("mix-1 · north · 1,260 g");
        await Expect(_page.GetByRole(AriaRole.Region, new() { Name = "What the records leave open" })).ToContainTextAsync("5 makers of 5 pieces cannot be written to: no student of the name is on record.");
        await Expect(_page.GetByRole(AriaRole.Region, new() { Name = "People" })).ToContainTextAsync("Look at the roster of the class");
        Assert.Equal("", await Shell.EveryPageTests.SeriousAsync(_page));
        Assert.Empty(await Words.GermanPagesTests.SaidInBothAsync(browser, _harness.HttpAddress, new Uri(_page.Url).AbsolutePath));
    }
}
