using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Bench;

/// <summary>The bench in a real browser, with and without its network.</summary>
[Collection(nameof(ChromiumBrowser))]
public sealed class BenchTests(ChromiumBrowser browser) : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private IBrowserContext _context = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        foreach (var number in Enumerable.Range(1, 3))
            await Pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = $"piece-{number}", Piece = new() { Site = SampleStudio.North, Label = $"{number}", Maker = $"Maker {number}" } });
        _context = await browser.OpenAsync(_harness.HttpAddress);
    }

    public async Task DisposeAsync()
    {
        await _context.DisposeAsync();
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    private MixService.MixServiceClient Mixes => new(_harness.Channel);

    private PieceService.PieceServiceClient Pieces => new(_harness.Channel);

    private async Task<List<Mix>> RecordedAsync() => [.. (await Mixes.ListMixesAsync(new() { Parent = SampleStudio.Name })).Mixes];

    private async Task<long> LeftInAsync(string can) =>
        (await new LotService.LotServiceClient(_harness.Channel).GetContainerAsync(new() { Name = can })).RemainingMassMg;

    [Fact]
    public async Task Mix_OnTarget_TakesTwoTaps()
    {
        var tablet = await Tablet.OpenAsync(_context);

        await tablet.LogMixAsync("1000 g");
        await tablet.WaitsAsync(0);

        Assert.Equal(2, tablet.Taps);
        // 1,000 g at 100 : 42 are 1000 / 1.42 = 704.2 g of A and 295.8 g of B, by a scale of whole grams.
        var mix = Assert.Single(await RecordedAsync());
        Assert.Equal((704_000, 296_000, "Ivo"), (mix.AMassMg, mix.BMassMg, mix.Mixer));
    }

    [Fact]
    public async Task EightMixes_WithoutNetwork_AreAllThereOnceAfterwards()
    {
        var tablet = await Tablet.OpenAsync(_context);
        await tablet.IsKeptAsync();
        await tablet.LogMixAsync("500 g");
        await tablet.WaitsAsync(0);

        await _context.SetOfflineAsync(true);
        for (var count = 1; count <= 4; count++) await tablet.LogMixAsync("500 g");
        await tablet.Page.ReloadAsync();
        await tablet.IsReadyAsync();
        for (var count = 5; count <= 8; count++) await tablet.LogMixAsync("500 g");
        await tablet.WaitsAsync(8);
        Assert.Single(await RecordedAsync());
        await _context.SetOfflineAsync(false);
        await tablet.WaitsAsync(0);

        Assert.Equal(9, (await RecordedAsync()).Count);
        // 20 kg less nine times 500 / 1.42 = 352 g.
        Assert.Equal(20_000_000 - 9 * 352_000, await LeftInAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task Mix_WhoseAnswerIsLost_IsRecordedOnce()
    {
        // A kept page's own worker would fetch past the route.
        await using var context = await browser.OpenAsync(_harness.HttpAddress, keepsPages: false);
        var tablet = await Tablet.OpenAsync(context);
        var lost = 0;
        await tablet.Page.RouteAsync("**/mixes?mixId=*", async route =>
        {
            await route.FetchAsync();
            if (++lost <= 2) await route.AbortAsync(); else await route.ContinueAsync();
        });

        await tablet.LogMixAsync("500 g");
        await tablet.WaitsAsync(0);

        Assert.Equal(3, lost);
        Assert.Single(await RecordedAsync());
        Assert.Equal(20_000_000 - 352_000, await LeftInAsync(SampleStudio.DeepA));
    }

    /// <summary>A network that wants a sign-in of its own, or a page that says "back soon", answers in the studio's place: the mix waits and comes again.</summary>
    [Theory]
    [InlineData(200, "text/html", "<h1>Welcome to our network</h1>")]
    [InlineData(200, "application/json", """{"welcome":true}""")]
    [InlineData(302, "text/html", "")]
    public async Task Mix_AnsweredByAnother_WaitsUntilTheStudioAnswers(int status, string contentType, string body)
    {
        await using var context = await browser.OpenAsync(_harness.HttpAddress, keepsPages: false);
        var tablet = await Tablet.OpenAsync(context);
        var asked = 0;
        await tablet.Page.RouteAsync("**/mixes?mixId=*", route => ++asked == 1
            ? route.FulfillAsync(new() { Status = status, ContentType = contentType, Body = body, Headers = status == 302 ? new Dictionary<string, string> { ["location"] = "/" } : null })
            : route.ContinueAsync());

        await tablet.LogMixAsync("500 g");
        await tablet.WaitsAsync(0);

        Assert.Equal(2, asked);
        Assert.Single(await RecordedAsync());
    }

    /// <summary>What the key of a tablet may not do stands there as refused; it holds up nothing behind it.</summary>
    [Fact]
    public async Task Mix_ThatTheKeyMayNotRecord_HoldsUpNothing()
    {
        await using var context = await browser.OpenAsync(_harness.HttpAddress, keepsPages: false);
        var tablet = await Tablet.OpenAsync(context);
        var asked = 0;
        await tablet.Page.RouteAsync("**/mixes?mixId=*", route => ++asked == 1
            ? route.FulfillAsync(new() { Status = 403, ContentType = "application/json", Body = """{"code":7,"message":"This key may not."}""" })
            : route.ContinueAsync());

        await tablet.LogMixAsync("500 g");
        await tablet.LogMixAsync("1000 g");
        await tablet.WaitsAsync(0);

        await Expect(tablet.Page.Locator(".entry.refused")).ToContainTextAsync("This key may not.");
        Assert.Equal(1_000_000, Assert.Single(await RecordedAsync()).RemainingMassMg);
    }

    [Fact]
    public async Task Touch_ByNobody_AsksWhoAndRecordsNothing()
    {
        await FilledStudio.MixAsync(_harness, "mix-1", 1_000_000);
        await FilledStudio.PourAsync(_harness, 1, "mix-1", 30, 500_000);
        await _harness.SettleAsync();
        var tablet = await Tablet.OpenAsync(_context);
        await tablet.Page.Locator("#who").FillAsync("");
        var firm = tablet.Page.Locator(".feel.firm").First;
        await Expect(tablet.Page.Locator("#ask-who")).ToBeHiddenAsync();

        await firm.ClickAsync();
        await Expect(tablet.Page.Locator("#ask-who")).ToBeVisibleAsync();
        await tablet.HasRecordedAsync(0);

        await tablet.Page.Locator("#who").FillAsync("Ivo");
        await Expect(tablet.Page.Locator("#ask-who")).ToBeHiddenAsync();
        await firm.ClickAsync();
        await tablet.HasRecordedAsync(1);
    }

    // 100 g of B to 500 g of A are 20 parts for 100, and 42 are wanted: 20/42 − 1 = −52.4 %.
    [Theory]
    [InlineData("en", "✕ Hardener is 20 parts for 100 of resin, target 42: -52.4 %")]
    [InlineData("de", "✕ 20 Teile Härter auf 100 Teile Harz, soll 42: -52,4 %")]
    public async Task Server_IsHeardInTheLanguageOfThePage(string language, string said)
    {
        await using var context = await browser.OpenAsync(_harness.HttpAddress, keepsPages: false, language: language);
        var tablet = await Tablet.OpenAsync(context);

        await tablet.WeighAsync("500", "100");

        await Expect(tablet.Page.Locator("#server-verdict")).ToContainTextAsync(said);
        await Expect(tablet.Page.Locator("#server-verdict")).ToHaveAttributeAsync("lang", "");
    }

    [Fact]
    public async Task Pour_FollowsItsMix_AlsoAfterAnOutage()
    {
        var tablet = await Tablet.OpenAsync(_context);
        await _context.SetOfflineAsync(true);

        await tablet.LogMixAsync("1000 g");
        await tablet.Page.Locator("#batches .choices button", new() { HasText = "Maker 2" }).ClickAsync();
        await tablet.TapAsync("Pour into 2");
        await tablet.WaitsAsync(2);
        await _context.SetOfflineAsync(false);
        await tablet.WaitsAsync(0);

        var pour = Assert.Single((await Pieces.ListPoursAsync(new() { Parent = "studios/alder/pieces/piece-2" })).Pours);
        Assert.Equal((1_000_000, 40, "Ivo"), (pour.MassMg, pour.DepthMm, pour.Pourer));
        Assert.Equal(0, Assert.Single(await RecordedAsync()).RemainingMassMg);
    }

    [Fact]
    public async Task Undo_OfWhatWasSent_IsACorrection()
    {
        var tablet = await Tablet.OpenAsync(_context);
        await tablet.LogMixAsync("500 g");
        await tablet.WaitsAsync(0);
        Assert.Equal(20_000_000 - 352_000, await LeftInAsync(SampleStudio.DeepA));

        await tablet.TapAsync(tablet.Entries.First.Locator(".undo"));
        await Expect(tablet.Entries.First).ToContainTextAsync("recorded: undone");

        var mix = Assert.Single(await RecordedAsync());
        Assert.True(mix.DidNotOccur);
        Assert.Equal("Ivo", Assert.Single(mix.Corrections).Person);
        Assert.Equal(20_000_000, await LeftInAsync(SampleStudio.DeepA));
    }

    [Fact]
    public async Task Undo_OfWhatWasNeverTried_LeavesNothing()
    {
        var tablet = await Tablet.OpenAsync(_context);
        await tablet.IsKeptAsync();
        await tablet.Page.RouteAsync("**/mixes?mixId=*", route => route.AbortAsync());
        await _context.SetOfflineAsync(true);
        await tablet.LogMixAsync("500 g");
        await tablet.LogMixAsync("500 g");

        // The first is tried at once and may have arrived for all the tablet knows; the second waits behind it.
        await tablet.TapAsync(tablet.Entries.First.Locator(".undo"));
        await tablet.WaitsAsync(1);
        await tablet.Page.UnrouteAllAsync();
        await _context.SetOfflineAsync(false);
        await tablet.WaitsAsync(0);

        Assert.Single(await RecordedAsync());
    }

    [Fact]
    public async Task Mix_OffRatio_IsSaidBeforeItIsPoured_AndRecordedOnlyWithAReason()
    {
        var tablet = await Tablet.OpenAsync(_context);
        await tablet.WeighAsync("1000", "500");

        // 50 parts against 42 are 19.0 % too many; 500 / 0.42 = 1190.477 g of A.
        await Expect(tablet.Verdict).ToHaveTextAsync("✕ Off ratio: 50.0 B to 100 A, +19.0 %, allowed ±2.0 %. Add 190 g of A.");
        await Expect(tablet.Page.Locator("#log")).ToBeDisabledAsync();
        await tablet.TapAsync("It is poured already.");
        await tablet.TapAsync("Log it off ratio, with this reason");
        await tablet.HasRecordedAsync(1);

        var mix = Assert.Single(await RecordedAsync());
        Assert.Equal("It is poured already.", mix.DeviationReason);
    }

    [Fact]
    public async Task Touch_IsOneTap()
    {
        await Mixes.RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            MixId = "mix-1",
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
            },
        });
        await Pieces.RecordPourAsync(new() { Parent = "studios/alder/pieces/piece-1", Pour = new() { Mix = "studios/alder/mixes/mix-1", Bench = SampleStudio.NorthBench, MassMg = 1_000_000, DepthMm = 30, Pourer = "Ivo" } });
        await _harness.SettleAsync();
        var tablet = await Tablet.OpenAsync(_context);

        await tablet.TapAsync("■ Firm 1");
        await tablet.HasRecordedAsync(1);

        var check = Assert.Single((await Pieces.ListChecksAsync(new() { Parent = "studios/alder/pieces/piece-1" })).Checks);
        Assert.Equal((Check.Types.Touch.Firm, "Ivo"), (check.Touch, check.Checker));
    }

    [Fact]
    public async Task Scan_OfALabel_ChoosesTheCan()
    {
        await SampleStudio.ReceiveAsync(_harness.Channel, SampleStudio.Deep, "deep-a-two", Part.A, "deep-a2", 5_000_000);
        var tablet = await Tablet.OpenAsync(_context);

        await tablet.Page.Locator("#scan").FillAsync("https://labels.example/v1/studios/alder/containers/deep-a2#contents-1");
        await tablet.Page.Locator("#scan").PressAsync("Enter");

        await Expect(tablet.Page.Locator("#part-A .cans button[aria-pressed=true]")).ToContainTextAsync("deep-a2");
    }

    /// <summary>The tablet's formula is a copy: on both sides of both limits, by mass and by volume, it says what the server says.</summary>
    [Fact]
    public async Task Verdict_OfTheTablet_IsThatOfTheServer()
    {
        await SampleStudio.ReceiveAsync(_harness.Channel, SampleStudio.Coat, "coat-a-lot", Part.A, "coat-a1", 20_000_000);
        await SampleStudio.ReceiveAsync(_harness.Channel, SampleStudio.Coat, "coat-b-lot", Part.B, "coat-b1", 20_000_000);
        var tablet = await Tablet.OpenAsync(_context);

        var differing = await tablet.Page.EvaluateAsync<string[]>(
            """
            async () => {
              const { judge } = await import('/assets/ratio.js');
              const picture = await (await fetch('/studios/alder/bench/north/picture')).json();
              const differing = [];
              for (const system of picture.systems) for (const aMg of [100000, 333333, 1000000]) for (const off of [-25, -3.2, -3, -2.1, -2, 0, 1.9, 2, 2.2, 3, 3.1, 19]) {
                const bMg = Math.round(aMg * system.hardenerPerResin * (1 + off / 100));
                const id = system.name.split('/').at(-1);
                const response = await fetch('/v1/studios/alder/mixes?validateOnly=true', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({
                  site: 'studios/alder/sites/north', resinSystem: system.name, mixer: 'Ivo',
                  draws: [{ container: `studios/alder/containers/${id}-a1`, massMg: `${aMg}` }, { container: `studios/alder/containers/${id}-b1`, massMg: `${bMg}` }] }) });
                if (response.ok !== judge(system, aMg, bMg).inRatio) differing.push(`${id} ${aMg} ${bMg} ${(await response.json()).message}`);
              }
              return differing;
            }
            """);

        Assert.Empty(differing);
    }
}
