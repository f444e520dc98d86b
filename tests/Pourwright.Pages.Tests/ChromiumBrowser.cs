using Microsoft.Playwright;
using Pourwright.Testing;

namespace Pourwright.Pages.Tests;

/// <summary>Debian's Chromium, one for all tests.</summary>
public sealed class ChromiumBrowser : IAsyncLifetime
{
    private IPlaywright _playwright = null!;
    private IBrowser _browser = null!;

    public async Task InitializeAsync()
    {
        _playwright = await Playwright.CreateAsync();
        // Without its sandbox: tests run as root in containers, and load nothing but our own pages.
        _browser = await _playwright.Chromium.LaunchAsync(new() { ExecutablePath = "/usr/bin/chromium", Args = ["--no-sandbox"] });
    }

    public async Task DisposeAsync()
    {
        await _browser.CloseAsync();
        _playwright.Dispose();
    }

    /// <summary>A browser of the owner, signed in, with nothing else kept in it. A tablet at the bench where no size is said.</summary>
    public async Task<IBrowserContext> OpenAsync(Uri node, int widthPx = 1280, int heightPx = 800, bool keepsPages = true, string language = "en", bool isSignedIn = true, bool scripts = true)
    {
        var context = await _browser.NewContextAsync(new()
        {
            BaseURL = node.ToString(),
            ViewportSize = new() { Width = widthPx, Height = heightPx },
            Locale = language,
            JavaScriptEnabled = scripts,
            ServiceWorkers = keepsPages ? ServiceWorkerPolicy.Allow : ServiceWorkerPolicy.Block,
        });
        if (isSignedIn)
            await context.AddCookiesAsync([new() { Name = "pourwright_key", Value = StudioHarness.KeyAt(node.Authority)!, Url = node.ToString(), HttpOnly = true }]);
        return context;
    }
}

[CollectionDefinition(nameof(ChromiumBrowser))]
public sealed class OneChromium : ICollectionFixture<ChromiumBrowser>;
