using System.Net;
using Pourwright.Testing;

namespace Pourwright.Pages.Tests.Serving;

/// <summary>Who is let in at the door of the pages, and where to.</summary>
public sealed class GuardTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    private async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request)
    {
        using var http = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false }) { BaseAddress = _harness.HttpAddress };
        return await http.SendAsync(request);
    }

    private async Task<HttpStatusCode> PostAsync(string path, string header, string value)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, path) { Content = new FormUrlEncodedContent([new("language", "de")]) };
        request.Headers.Add(header, value);
        using var response = await SendAsync(request);
        return response.StatusCode;
    }

    // To the page's own form and to the JSON of the API alike.
    [Theory]
    [InlineData("/manner")]
    [InlineData("/v1/studios/alder/lots/deep-a-lot:hold")]
    public async Task Post_FromAnotherSite_IsRefused(string path)
    {
        Assert.Equal(HttpStatusCode.Forbidden, await PostAsync(path, "Sec-Fetch-Site", "cross-site"));
        Assert.Equal(HttpStatusCode.Forbidden, await PostAsync(path, "Sec-Fetch-Site", "same-site"));
        Assert.Equal(HttpStatusCode.Forbidden, await PostAsync(path, "Origin", "https://elsewhere.example"));
    }

    [Fact]
    public async Task Post_FromTheOwnPage_IsDone()
    {
        Assert.Equal(HttpStatusCode.Found, await PostAsync("/manner", "Sec-Fetch-Site", "same-origin"));
        Assert.Equal(HttpStatusCode.Found, await PostAsync("/manner", "Origin", _harness.HttpAddress.GetLeftPart(UriPartial.Authority)));
    }

    // A proxy on this machine ends TLS; the node itself speaks plain HTTP to it.
    [Theory]
    [InlineData("https", true)]
    [InlineData("http", false)]
    public async Task Key_ThatCameOverTlsToAProxy_GoesIntoACookieForTlsAlone(string scheme, bool isSecure)
    {
        foreach (var (path, field, secret) in ((string, string, string)[])[("/sign-in", "key", StudioHarness.KeyAt(_harness.HttpAddress.Authority)!), ("/mine", "link", "pws_abc")])
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, path) { Content = new FormUrlEncodedContent([new(field, secret)]) };
            request.Headers.Add("Sec-Fetch-Site", "same-origin");
            request.Headers.Add("X-Forwarded-Proto", scheme);
            using var response = await SendAsync(request);

            Assert.Equal(HttpStatusCode.Found, response.StatusCode);
            Assert.Equal(isSecure, Assert.Single(response.Headers.GetValues("Set-Cookie")).Contains("; secure", StringComparison.OrdinalIgnoreCase));
        }
    }

    [Theory]
    [InlineData("/v1/studios/alder/pieces/piece-1", "/studios/alder/pieces/piece-1")]
    [InlineData("/v1/studios/alder/containers/deep-a1", "/studios/alder/lots")]
    public async Task Label_ScannedByAPerson_LeadsToItsPage(string address, string page)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, address);
        request.Headers.Accept.ParseAdd("text/html,application/xhtml+xml,*/*;q=0.8");
        using var response = await SendAsync(request);

        Assert.Equal((HttpStatusCode.Found, page), (response.StatusCode, response.Headers.Location?.OriginalString));
    }

    [Fact]
    public async Task Page_MayBeFramedByNobody_AndLoadsOnlyItsOwn()
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, "/studios/alder");
        using var response = await SendAsync(request);

        var policy = Assert.Single(response.Headers.GetValues("Content-Security-Policy"));
        Assert.Contains("default-src 'self'", policy, StringComparison.Ordinal);
        Assert.Contains("frame-ancestors 'none'", policy, StringComparison.Ordinal);
    }
}
