using Google.Protobuf.WellKnownTypes;
using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Wall;

/// <summary>The wall in a real browser, while the clock of the studio is turned.</summary>
[Collection(nameof(ChromiumBrowser))]
public sealed class WallTests(ChromiumBrowser browser) : IAsyncLifetime
{
    private const string Piece = "studios/alder/pieces/piece-1";

    private StudioHarness _harness = null!;
    private IBrowserContext _context = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
        await Pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = "piece-1", Piece = new() { Site = SampleStudio.North, Label = "1", Maker = "Noa" } });
        await FilledStudio.MixAsync(_harness, "mix-1", 1_000_000);
        await FilledStudio.PourAsync(_harness, 1, "mix-1", 30);
        await _harness.SettleAsync();
        _context = await browser.OpenAsync(_harness.HttpAddress, 1920, 1080);
    }

    public async Task DisposeAsync()
    {
        await _context.DisposeAsync();
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    private PieceService.PieceServiceClient Pieces => new(_harness.Channel);

    private async Task<IPage> OpenAsync()
    {
        var page = await _context.NewPageAsync();
        await page.GotoAsync("/studios/alder/wall/north");
        await Expect(page.Locator("#board")).ToHaveAttributeAsync("data-live", "true");
        return page;
    }

    [Fact]
    public async Task GatePass_AndTouch_AppearWithoutAReload()
    {
        var page = await OpenAsync();
        var card = page.Locator(".piece");
        await Expect(card).ToContainTextAsync("Demold: cures, safe from");
        await Expect(page.Locator(".tocheck")).ToContainTextAsync("Nothing to check.");

        var readiness = await new ForecastService.ForecastServiceClient(_harness.Channel).GetReadinessAsync(new() { Name = Piece });
        var safe = readiness.Rungs.Single(rung => rung.Gate == Gate.Demold).Forecast.SafeTime.ToDateTimeOffset();
        _harness.Clock.Advance(safe - _harness.Clock.GetUtcNow());
        await Expect(card).ToContainTextAsync("Demold: check now, safe since");
        await Expect(page.Locator(".tocheck")).ToContainTextAsync("1 Noa · touch test for Demold");

        await Pieces.RecordCheckAsync(new() { Parent = Piece, Check = new() { Touch = Check.Types.Touch.Firm, Checker = "Ivo" } });
        await Expect(card).ToContainTextAsync("ready: Demold");
        await Expect(card).ToContainTextAsync("Saw, plane: cures, safe from");
    }

    [Fact]
    public async Task Change_SaysWhichPieceAndWhy()
    {
        var page = await OpenAsync();
        await Expect(page.Locator(".changes")).ToContainTextAsync("Nothing since this wall was opened.");

        await FilledStudio.PourAsync(_harness, 1, "mix-1", 5, 300_000);
        await _harness.SettleAsync();

        await Expect(page.Locator(".changes p b")).ToHaveTextAsync("1");
    }

    [Theory]
    [InlineData("en", "A further layer of 5 mm was poured.")]
    [InlineData("de", "Eine weitere Schicht von 5 mm wurde gegossen.")]
    public async Task Change_IsSaidInTheLanguageOfTheWall(string language, string said)
    {
        await using var context = await browser.OpenAsync(_harness.HttpAddress, language: language);
        var page = await context.NewPageAsync();
        await page.GotoAsync("/studios/alder/wall/north");
        await Expect(page.Locator("#board")).ToHaveAttributeAsync("data-live", "true");

        await FilledStudio.PourAsync(_harness, 1, "mix-1", 5, 300_000);
        await _harness.SettleAsync();

        await Expect(page.Locator(".changes")).ToContainTextAsync(said);
        await Expect(page.Locator(".changes [lang]")).ToHaveCountAsync(0);
    }

    // 18 °C at 90 %: dew point 16.3 °C by Magnus (17.625, 243.04), so 1.7 K of margin, less than 3.
    [Fact]
    public async Task DampAir_IsSaidInWords()
    {
        var page = await OpenAsync();
        await Expect(page.Locator(".air").First).ToContainTextAsync("no reading");

        await new ClimateService.ClimateServiceClient(_harness.Channel).RecordReadingsAsync(new()
        {
            Parent = SampleStudio.North,
            Readings = { new Reading { Sensor = SampleStudio.NorthSensor, ReadingTime = Timestamp.FromDateTimeOffset(_harness.Clock.GetUtcNow()), TemperatureCelsius = 18, RelativeHumidityPercent = 90 } },
        });
        _harness.Clock.Advance(TimeSpan.FromSeconds(15));

        await Expect(page.Locator(".air").First).ToContainTextAsync("too damp: only 1.7 °C above dew point");
    }

    [Fact]
    public async Task LostConnection_IsSaidInWords()
    {
        var page = await OpenAsync();
        await Expect(page.Locator("#broken")).ToBeHiddenAsync();

        await _harness.RestartAsync();

        await Expect(page.Locator("#broken")).ToContainTextAsync("Not live since");
    }

    /// <summary>Fifty walls hang on one watch: each is told, and the site is looked at no more often than for one.</summary>
    [Fact]
    public async Task FiftyWalls_AreAllTold()
    {
        using var http = _harness.OpenHttp();
        var walls = await Task.WhenAll(Enumerable.Range(0, 50).Select(_ => http.GetStreamAsync("/studios/alder/wall/north/live")));
        var readers = walls.Select(wall => new StreamReader(wall)).ToList();
        await Task.WhenAll(readers.Select(reader => ReadUntilAsync(reader, "cures, safe from")));

        _harness.Clock.Advance(TimeSpan.FromDays(30));
        await Task.WhenAll(readers.Select(reader => ReadUntilAsync(reader, "check now, safe since")));

        readers.ForEach(reader => reader.Dispose());
    }

    private static async Task ReadUntilAsync(StreamReader reader, string text)
    {
        while (await reader.ReadLineAsync() is { } line)
            if (line.Contains(text, StringComparison.Ordinal)) return;
        Assert.Fail($"The stream ended before it said '{text}'.");
    }
}
