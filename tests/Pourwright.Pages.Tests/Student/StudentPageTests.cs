using Google.Protobuf.WellKnownTypes;
using Microsoft.Playwright;
using Pourwright.Pages.Tests.Shell;
using Pourwright.Pages.Words;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Student;

/// <summary>What a student's phone shows by a link, and what it never does.</summary>
/// <remarks>Mia made piece 4, which cures; the others' pieces and names stand all around.</remarks>
[Collection(nameof(ChromiumBrowser))]
public sealed class StudentPageTests(ChromiumBrowser browser, FilledStudio studio) : IClassFixture<FilledStudio>
{
    private const int PageBytesMax = 200_000;

    private StudentLinkService.StudentLinkServiceClient Links => new(studio.Harness.Channel);

    [Fact]
    public async Task Link_Opened_ShowsTheOwnPiece_AndLeavesTheAddress()
    {
        await using var context = await OpenAsync();
        var page = await context.NewPageAsync();
        List<string> asked = [];
        page.Request += (_, request) => asked.Add(request.Url);
        var link = await MakeAsync(new() { Piece = "studios/alder/pieces/piece-4" });

        await page.GotoAsync(link.PagePath);
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Piece 4" })).ToBeVisibleAsync();

        Assert.EndsWith("/mine", page.Url, StringComparison.Ordinal);
        // Nothing that was asked of the network carries the secret in its address, and no script of the page reads it.
        Assert.All(asked, url => Assert.DoesNotContain("pws_", url, StringComparison.Ordinal));
        Assert.DoesNotContain("pws_", await page.EvaluateAsync<string>("document.cookie + JSON.stringify(localStorage) + document.documentElement.outerHTML"), StringComparison.Ordinal);
        // Nobody else's name, no bench, mix, lot, staff.
        var html = await page.ContentAsync();
        Assert.All((string[])["Noa", "Farah", "Goran", "Anna", "Sven-Erik", "Wilhelmina", "Ivo", "Olive", "Harbour", "deep-a", "mix-"],
            word => Assert.DoesNotContain(word, html, StringComparison.Ordinal));
    }

    [Fact]
    public async Task Link_OfAPlace_ShowsWhenToCome()
    {
        await using var context = await OpenAsync();
        var page = await context.NewPageAsync();

        await page.GotoAsync((await MakeAsync(new() { Enrolment = $"{SampleSeason.HofSpring}/enrolments/mia" })).PagePath);

        // The pour is at 10:00 on 28 March, four hours long; the machine day at 09:00 two days later, after the clocks went forward.
        await Expect(page.Locator("ol")).ToContainTextAsync("Sat 28 Mar 10:00 – 14:00");
        await Expect(page.Locator("ol")).ToContainTextAsync("Mon 30 Mar 09:00 – 13:00");
        await Expect(page.Locator(".next")).ToContainTextAsync("apron");
        Assert.DoesNotContain("Tom", await page.ContentAsync(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("revoked")]
    [InlineData("expired")]
    [InlineData("wrong")]
    [InlineData("nonsense")]
    public async Task Link_NotGoodAnyMore_ShowsAKindPage(string how)
    {
        await using var context = await OpenAsync();
        var page = await context.NewPageAsync();
        var link = await MakeAsync(new()
        {
            Piece = "studios/alder/pieces/piece-4",
            ExpireTime = how == "expired" ? Timestamp.FromDateTimeOffset(studio.Harness.Clock.GetUtcNow().AddHours(1)) : null,
        });
        if (how == "revoked") await Links.RevokeStudentLinkAsync(new() { Name = link.Name });
        if (how == "expired") studio.Harness.Clock.Advance(TimeSpan.FromHours(1));

        await page.GotoAsync(how switch { "wrong" => "/mine#pws_wrong", "nonsense" => "/mine#pws_%C3%BC%0A", _ => link.PagePath });

        await Expect(page.Locator("h1")).ToHaveTextAsync(Texts.In("en")["Student.ShutTitle"]);
        await Expect(page.Locator("main")).ToContainTextAsync("ask the studio for a new link");
        Assert.DoesNotContain("Mia", await page.ContentAsync(), StringComparison.Ordinal);
    }

    /// <summary>The whole address goes into the form; it is forgotten where somebody says so.</summary>
    [Fact]
    public async Task WithoutScripts_TheLinkIsPasted_AndForgottenAgain()
    {
        await using var context = await OpenAsync(scripts: false);
        var page = await context.NewPageAsync();
        var link = await MakeAsync(new() { Piece = "studios/alder/pieces/piece-4" });
        await page.GotoAsync(link.PagePath);

        await page.GetByLabel("Your link").FillAsync($"https://studio.example{link.PagePath}");
        await page.GetByRole(AriaRole.Button, new() { Name = "Open" }).ClickAsync();
        await Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Piece 4" })).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Forget the link" }).ClickAsync();

        await Expect(page.GetByLabel("Your link")).ToBeVisibleAsync();
    }

    [Theory]
    [InlineData("piece", "en-GB")]
    [InlineData("place", "de-AT")]
    [InlineData("door", "en-GB")]
    public async Task Page_OnAPhone_HasNothingSeriousForAxe_FitsAndIsSmall(string what, string language)
    {
        await using var context = await OpenAsync(language: language);
        var page = await context.NewPageAsync();
        long bytes = 0;
        page.Response += (_, response) => Interlocked.Add(ref bytes, long.Parse(response.Headers.GetValueOrDefault("content-length", "0"), System.Globalization.CultureInfo.InvariantCulture));

        await page.GotoAsync(what switch
        {
            "piece" => (await MakeAsync(new() { Piece = "studios/alder/pieces/piece-4" })).PagePath,
            "place" => (await MakeAsync(new() { Enrolment = $"{SampleSeason.HofSpring}/enrolments/mia" })).PagePath,
            _ => "/mine",
        });
        await Expect(what == "door" ? page.Locator("input[name=link]") : page.Locator("[aria-labelledby=care]")).ToBeVisibleAsync();
        if (Environment.GetEnvironmentVariable("POURWRIGHT_SCREENSHOTS") is { Length: > 0 } folder)
            await page.ScreenshotAsync(new() { Path = Path.Combine(folder, $"student-{what}-360.png"), FullPage = true });

        Assert.Equal("", await EveryPageTests.SeriousAsync(page));
        Assert.True(await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= innerWidth"), $"{what} is wider than the phone");
        Assert.True(bytes is > 1000 and < PageBytesMax, $"{bytes} bytes");
        await Expect(page.Locator("html")).ToHaveAttributeAsync("lang", language[..2]);
    }

    /// <summary>Whatever an answer can say has its words in both languages.</summary>
    [Theory]
    [InlineData("en")]
    [InlineData("de")]
    public void Words_AreThereForWhateverCanBeSaid(string language)
    {
        var texts = Texts.In(language);
        string[] keys =
        [
            .. System.Enum.GetValues<OwnPiece.Types.Note>().Where(note => note != OwnPiece.Types.Note.Unspecified).Select(note => $"Student.Note{note}"),
            .. System.Enum.GetValues<Forecast.Types.Cause>().Where(cause => cause != Forecast.Types.Cause.Unspecified).Select(cause => $"Student.Cause{cause}"),
            .. System.Enum.GetValues<Session.Types.Kind>().Where(kind => kind != Session.Types.Kind.Unspecified).SelectMany(kind => (string[])[$"Session.{kind}", $"Door.Wear{kind}", $"Door.Caution{kind}"]),
        ];
        Assert.All(keys, key => Assert.NotEqual("", texts[key]));
    }

    private async Task<IBrowserContext> OpenAsync(string language = "en-GB", bool scripts = true) =>
        await browser.OpenAsync(studio.Harness.HttpAddress, 360, 740, keepsPages: false, language, isSignedIn: false, scripts);

    private async Task<StudentLink> MakeAsync(StudentLink link) => await Links.CreateStudentLinkAsync(new() { Parent = SampleStudio.Name, StudentLink = link });
}
