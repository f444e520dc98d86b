using System.Text.Json;
using Microsoft.Playwright;
using Pourwright.Pages.Words;
using Pourwright.Testing;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Shell;

/// <summary>What holds on every page: nothing serious for axe, nothing wider than a phone, small and in both languages.</summary>
/// <remarks>With a folder in POURWRIGHT_SCREENSHOTS it leaves a picture of each page at each width there, for people to look at, and how long each took to be of use.</remarks>
[Collection(nameof(ChromiumBrowser))]
public sealed class EveryPageTests(ChromiumBrowser browser, FilledStudio studio) : IClassFixture<FilledStudio>
{
    private const int FirstPageBytesMax = 200_000;

    /// <summary>Since the page was asked for: until it took input, and at the bench until its scripts had their first picture of the site.</summary>
    private const string UsableMs = "document.getElementById('bench') ? performance.now() : performance.getEntriesByType('navigation')[0].domInteractive";

    private static readonly string Axe = File.ReadAllText(FromRoot("tests/node/node_modules/axe-core/axe.min.js"));

    public static TheoryData<string, string> Paths => new()
    {
        { "studio", "/studios/alder" },
        { "lots", "/studios/alder/lots" },
        { "piece", "/studios/alder/pieces/piece-1" },
        { "whatif", "/studios/alder/pieces/piece-4?hold=25" },
        { "prepared", "/studios/alder/pieces/piece-8" },
        { "season", "/studios/alder/season?from=2026-03-02" },
        { "class", "/studios/alder/classes/hof-spring?session=Machine&date=2026-04-02" },
        { "door", "/studios/alder/classes/hof-spring/door" },
        { "defects", "/studios/alder/defects" },
        { "defect", "/studios/alder/defects/soft-1" },
        { "wall", "/studios/alder/wall/north" },
        { "bench", "/studios/alder/bench/north" },
        { "refused", "/studios/nowhere" },
    };

    [Theory]
    [MemberData(nameof(Paths))]
    public async Task Page_HasNothingSeriousForAxe_AndNoOverflow(string name, string path)
    {
        foreach (var (width, height) in ((int, int)[])[(360, 740), (1280, 800), (1920, 1080)])
            await LookAsync(name, path, width, height, "en");
        // German words are longer.
        await LookAsync(name, path, 360, 740, "de");
    }

    [Theory]
    [MemberData(nameof(Paths))]
    public async Task Page_IsSmall(string name, string path)
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, keepsPages: false);
        var page = await context.NewPageAsync();
        long bytes = 0;
        page.Response += (_, response) => Interlocked.Add(ref bytes, long.Parse(response.Headers.GetValueOrDefault("content-length", "0"), System.Globalization.CultureInfo.InvariantCulture));

        await page.GotoAsync(path, new() { WaitUntil = WaitUntilState.Load });

        Assert.True(bytes is > 1000 and < FirstPageBytesMax, $"{name}: {bytes} bytes");
    }

    [Theory]
    [MemberData(nameof(Paths))]
    public async Task Page_SpeaksTheLanguageOfTheBrowser(string name, string path)
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, language: "de-AT");
        var page = await context.NewPageAsync();

        await page.GotoAsync(path);

        await Expect(page.Locator("html")).ToHaveAttributeAsync("lang", "de");
        await Expect(page.Locator(".skip")).ToHaveTextAsync(Texts.In("de")["Shell.Skip"]);
        Assert.NotEmpty(name);
    }

    [Fact]
    public async Task Page_WithoutAKey_AsksForIt_ThenShowsWhatWasAskedFor()
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, isSignedIn: false);
        var page = await context.NewPageAsync();
        await page.GotoAsync("/studios/alder");
        Assert.DoesNotContain("north", await page.ContentAsync(), StringComparison.OrdinalIgnoreCase);
        Assert.Equal("", await SeriousAsync(page));

        await page.GetByLabel("Your key").FillAsync("pwk_wrong");
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("unknown");
        await page.GetByLabel("Your key").FillAsync(StudioHarness.KeyAt(studio.Harness.HttpAddress.Authority)!);
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();

        await Expect(page.Locator("h1")).ToContainTextAsync("Alder");
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out" }).ClickAsync();
        await Expect(page.GetByLabel("Your key")).ToBeVisibleAsync();
    }

    private async Task LookAsync(string name, string path, int width, int height, string language)
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, width, height, language: language);
        var page = await context.NewPageAsync();
        await page.GotoAsync(path);
        if (await page.Locator("#bench").CountAsync() > 0) await Expect(page.Locator("#bench")).ToHaveAttributeAsync("data-ready", "true");
        if (Environment.GetEnvironmentVariable("POURWRIGHT_SCREENSHOTS") is { Length: > 0 } folder)
        {
            await File.AppendAllTextAsync(Path.Combine(folder, "usable.txt"), $"{name} {width} {await page.EvaluateAsync<double>(UsableMs):0} ms\n");
            await page.ScreenshotAsync(new() { Path = Path.Combine(folder, $"{name}-{width}-{language}.png"), FullPage = true });
        }

        Assert.Equal("", await SeriousAsync(page));
        Assert.True(await page.EvaluateAsync<bool>("document.scrollingElement.scrollWidth <= innerWidth"), $"{name} is wider than {width} px in {language}");
        // A picture is panned, a table never: on a phone its rows stack.
        Assert.Empty(await page.EvaluateAsync<string[]>("[...document.querySelectorAll('.scroll:has(table)')].filter(box => box.scrollWidth > box.clientWidth).map(box => box.outerHTML)"));
    }

    /// <summary>Serious and critical violations of WCAG 2.2 A and AA and of axe's best practices, in words.</summary>
    internal static async Task<string> SeriousAsync(IPage page)
    {
        await page.EvaluateAsync(Axe);
        var found = await page.EvaluateAsync<JsonElement>("async () => (await axe.run()).violations.map(v => ({ id: v.id, impact: v.impact, nodes: v.nodes.map(n => n.html) }))");
        return string.Join('\n', found.EnumerateArray()
            .Where(violation => violation.GetProperty("impact").GetString() is "serious" or "critical")
            .Select(violation => $"{violation.GetProperty("id")}: {violation.GetProperty("nodes")}"));
    }

    private static string FromRoot(string path)
    {
        var folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "Pourwright.slnx"))) folder = Directory.GetParent(folder)!.FullName;
        return Path.Combine(folder, path);
    }
}
