using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Http;
using Microsoft.Net.Http.Headers;

namespace Pourwright.Pages.Serving;

/// <summary>The address on a label leads a program to the thing as JSON; a person who scans it with a phone is sent to its page.</summary>
public sealed partial class ScannedLabels(RequestDelegate next)
{
    public Task InvokeAsync(HttpContext context)
    {
        if (!IsPerson(context.Request) || PageOf(context.Request.Path) is not { } page) return next(context);
        context.Response.Redirect(page);
        return Task.CompletedTask;
    }

    /// <summary>A browser asks for HTML before anything else, and nothing else does.</summary>
    private static bool IsPerson(HttpRequest request) =>
        HttpMethods.IsGet(request.Method) && request.GetTypedHeaders().Accept.FirstOrDefault() is MediaTypeHeaderValue { MediaType.Value: "text/html" };

    private static string? PageOf(string path) =>
        HasPage().Match(path) is { Success: true } own ? own.Groups[1].Value
        : Stock().Match(path) is { Success: true } stock ? $"{stock.Groups[1].Value}/lots"
        : null;

    [GeneratedRegex("^/v1(/studios/[a-z0-9-]+/(?:pieces|classes|defects|recalls)/[a-z0-9-]+)$")]
    private static partial Regex HasPage();

    [GeneratedRegex("^/v1(/studios/[a-z0-9-]+)/(?:containers|lots)/[a-z0-9-]+$")]
    private static partial Regex Stock();
}
