using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Pourwright.Pages.Tests.Shell;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Words;

/// <summary>The second language is complete: what a page says in English it does not say in German too.</summary>
/// <remarks>Names that people typed are mostly short; what else is longer than three words and the same in both languages was forgotten.</remarks>
[Collection(nameof(ChromiumBrowser))]
public sealed partial class GermanPagesTests(ChromiumBrowser browser, FilledStudio studio) : IClassFixture<FilledStudio>
{
    private const int WordsOfASentence = 4;

    /// <summary>Names of a site and its bench, as people typed them.</summary>
    private static readonly string[] Typed = ["Hof Hall: Long shelf", "Pier Hall: Long shelf"];

    /// <summary>Texts that a person reads, those of hidden parts too, without scripts.</summary>
    private const string TextsOfAll =
        """
        () => { const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), texts = [];
          while (walk.nextNode()) if (!walk.currentNode.parentElement.closest('script, style')) texts.push(walk.currentNode.data.trim());
          return texts; }
        """;

    public static TheoryData<string> Paths => new([.. EveryPageTests.Paths.Select(path => (string)path[1]), "/studios/alder/pieces/piece-4?least=true", "/studios/alder/pieces/piece-4?move=48"]);

    [Theory]
    [MemberData(nameof(Paths))]
    public async Task Page_SaysNoSentenceInBothLanguages(string path)
    {
        var (english, german) = (await ReadAsync(path, "en"), await ReadAsync(path, "de"));

        Assert.NotEmpty(Sentences(english));
        Assert.Equal(english.Count, german.Count);
        Assert.Empty(Sentences(english).Intersect(german).Except(Typed));
        Assert.DoesNotContain(german, text => text.Contains("UTC", StringComparison.Ordinal) || text.Contains("+01:00", StringComparison.Ordinal));
    }

    /// <summary>The measure finds what is left in English, so that its silence means something.</summary>
    [Fact]
    public async Task Page_WithALeftoverSentence_IsFound()
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, language: "de");
        var page = await context.NewPageAsync();
        await page.GotoAsync("/studios/alder");
        var sentence = "Hold the bench at 24 °C.";
        await page.EvaluateAsync("sentence => document.querySelector('main').append(sentence)", sentence);

        Assert.Contains(sentence, Sentences(await page.EvaluateAsync<string[]>(TextsOfAll)));
    }

    [Fact]
    public async Task Piece_SaysInGermanWhatMovedAndWhatToDo()
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, language: "de");
        var page = await context.NewPageAsync();

        await page.GotoAsync("/studios/alder/pieces/piece-4?hold=25");

        await Expect(page.Locator("section", new() { HasText = "Warum es so ist" }).First).ToContainTextAsync("Erste Vorhersage, nach dem Guss von 38 mm.");
        await Expect(page.Locator(".answer")).ToContainTextAsync("gehalten ab");
        await Expect(page.Locator(".advice").First).ToBeVisibleAsync();
        await Expect(page.Locator("main [lang=en]")).ToHaveCountAsync(0);
    }

    [Fact]
    public async Task Step_BeforeItsGate_IsWarnedOfInGerman()
    {
        await using var context = await browser.OpenAsync(studio.Harness.HttpAddress, language: "de");
        var page = await context.NewPageAsync();
        await page.GotoAsync("/studios/alder/pieces/piece-4");

        await page.Locator("form[action$='/steps'] [name=who]").FillAsync("Ivo");
        await page.GetByRole(AriaRole.Button, new() { Name = "Entformen" }).ClickAsync();

        await Expect(page.Locator(".caution").First).ToContainTextAsync("Stück 4, Entformen: sicher ab Do 12. Feb.");
        await Expect(page.Locator("main [lang=en]")).ToHaveCountAsync(0);
    }

    /// <summary>Sentences that a page says in English and in German alike.</summary>
    internal static async Task<IReadOnlyList<string>> SaidInBothAsync(ChromiumBrowser browser, Uri node, string path) =>
        [.. Sentences(await ReadAsync(browser, node, path, "en")).Intersect(await ReadAsync(browser, node, path, "de"))];

    private Task<List<string>> ReadAsync(string path, string language) => ReadAsync(browser, studio.Harness.HttpAddress, path, language);

    private static async Task<List<string>> ReadAsync(ChromiumBrowser browser, Uri node, string path, string language)
    {
        await using var context = await browser.OpenAsync(node, language: language);
        var page = await context.NewPageAsync();
        await page.GotoAsync(path);
        if (await page.Locator("#bench").CountAsync() > 0) await Expect(page.Locator("#bench")).ToHaveAttributeAsync("data-ready", "true");
        return [.. (await page.EvaluateAsync<string[]>(TextsOfAll)).Where(text => text.Length > 0)];
    }

    private static IEnumerable<string> Sentences(IEnumerable<string> texts) => texts.Where(text => Word().Count(text) >= WordsOfASentence);

    /// <summary>Two letters or more: no sign and no unit of one.</summary>
    [GeneratedRegex(@"\p{L}{2,}")]
    private static partial Regex Word();
}
