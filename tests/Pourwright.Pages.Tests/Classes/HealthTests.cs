using Microsoft.Playwright;
using Pourwright.Testing;
using Pourwright.V1;
using static Microsoft.Playwright.Assertions;

namespace Pourwright.Pages.Tests.Classes;

/// <summary>What a student said of their health: on the screen of who teaches on the day, and on no sheet.</summary>
/// <remarks>Mia has a seat in the class at Hof Hall, whose pour is on 28 March in Berlin; Tom has one too and said nothing.</remarks>
[Collection(nameof(ChromiumBrowser))]
public sealed class HealthTests(ChromiumBrowser browser) : IAsyncLifetime
{
    private const string Note = "skin reacts to hardener", Path = $"/{SampleSeason.HofSpring}";

    private static readonly DateTimeOffset MorningBefore = new(2026, 3, 27, 9, 0, 0, TimeSpan.Zero), Morning = MorningBefore.AddDays(1);

    private StudioHarness _harness = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleSeason.CreateAsync(_harness.Channel);
        await new PrivacyService.PrivacyServiceClient(_harness.Channel).SetHealthNoteAsync(new() { Student = SampleSeason.Mia, Note = Note, Consent = true });
    }

    public async Task DisposeAsync()
    {
        await _harness.SettleAsync();
        await _harness.DisposeAsync();
    }

    [Fact]
    public async Task Note_OnTheDay_IsShownAfterATap_AndIsKeptAndPrintedNowhere()
    {
        _harness.Clock.Advance(Morning - _harness.Clock.GetUtcNow());
        await using var context = await OpenAsync(Role.Instructor, SampleSeason.Hof);
        var page = await context.NewPageAsync();
        await page.GotoAsync(Path);
        Assert.DoesNotContain(Note, await page.ContentAsync(), StringComparison.Ordinal);

        var answer = await page.RunAndWaitForResponseAsync(() => ShowButton(page).ClickAsync(), response => response.Request.Method == "POST");
        // Tom left none and is not named.
        await Expect(page.Locator(".notes dt")).ToHaveTextAsync(["Mia Ola"]);
        await Expect(page.Locator(".notes dd")).ToHaveTextAsync([Note]);
        Assert.Equal("no-store", await answer.HeaderValueAsync("cache-control"));
        Assert.Equal($"60; url={Path}", await answer.HeaderValueAsync("refresh"));
        await page.EmulateMediaAsync(new() { Media = Media.Print });
        await Expect(page.GetByText(Note)).ToBeHiddenAsync();

        await page.GotoAsync($"{Path}/door");
        await Expect(page.Locator("h1")).ToBeVisibleAsync();
        Assert.DoesNotContain(Note, await page.ContentAsync(), StringComparison.Ordinal);
    }

    // Who teaches there on another day, and who teaches at another site on the day; a tablet never.
    [Theory]
    [InlineData(Role.Instructor, SampleSeason.Hof, false, 403)]
    [InlineData(Role.Instructor, SampleSeason.Pier, true, 404)]
    [InlineData(Role.Device, SampleSeason.Hof, true, 403)]
    public async Task Note_IsNotShownToOthers(Role role, string site, bool isTheDay, int status)
    {
        _harness.Clock.Advance((isTheDay ? Morning : MorningBefore) - _harness.Clock.GetUtcNow());
        await using var context = await OpenAsync(role, site);
        var page = await context.NewPageAsync();

        await page.GotoAsync(Path);
        await Expect(ShowButton(page)).ToHaveCountAsync(0);
        var answer = await page.APIRequest.PostAsync($"{Path}/health", new() { Headers = [new("Sec-Fetch-Site", "same-origin")] });

        Assert.Equal(status, answer.Status);
        Assert.DoesNotContain(Note, await answer.TextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Note_IsNotOnThePageOfAStudent_NorOpenedByTheirLink()
    {
        _harness.Clock.Advance(Morning - _harness.Clock.GetUtcNow());
        var link = await new StudentLinkService.StudentLinkServiceClient(_harness.Channel).CreateStudentLinkAsync(
            new() { Parent = SampleStudio.Name, StudentLink = new() { Enrolment = $"{SampleSeason.HofSpring}/enrolments/mia" } });
        await using var context = await browser.OpenAsync(_harness.HttpAddress, isSignedIn: false);
        var page = await context.NewPageAsync();

        await page.GotoAsync(link.PagePath);
        await Expect(page.Locator("h1")).ToBeVisibleAsync();
        Assert.DoesNotContain(Note, await page.ContentAsync(), StringComparison.Ordinal);
        await context.AddCookiesAsync([new() { Name = "pourwright_key", Value = link.PagePath[(link.PagePath.IndexOf('#', StringComparison.Ordinal) + 1)..], Url = _harness.HttpAddress.ToString() }]);
        var answer = await page.APIRequest.PostAsync($"{Path}/health", new() { Headers = [new("Sec-Fetch-Site", "same-origin")] });

        Assert.Equal(403, answer.Status);
        Assert.DoesNotContain(Note, await answer.TextAsync(), StringComparison.Ordinal);
    }

    private static ILocator ShowButton(IPage page) => page.GetByRole(AriaRole.Button, new() { Name = "Show it" });

    private async Task<IBrowserContext> OpenAsync(Role role, string site)
    {
        var key = await new AccessService.AccessServiceClient(_harness.Channel).CreateAccessKeyAsync(
            new() { Parent = SampleStudio.Name, AccessKey = new() { DisplayName = "Ana", Role = role, Sites = { site } } });
        var context = await browser.OpenAsync(_harness.HttpAddress, isSignedIn: false);
        await context.AddCookiesAsync([new() { Name = "pourwright_key", Value = key.Secret, Url = _harness.HttpAddress.ToString(), HttpOnly = true }]);
        return context;
    }
}
