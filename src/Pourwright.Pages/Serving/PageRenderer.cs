using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace Pourwright.Pages.Serving;

/// <summary>Renders Razor components to HTML, for a page and for a piece of one that is sent later.</summary>
public sealed class PageRenderer(IServiceProvider services, ILoggerFactory logs)
{
    /// <summary>The HTML of a component with these parameters.</summary>
    public async Task<string> RenderAsync<TComponent>(IDictionary<string, object?> parameters) where TComponent : IComponent
    {
        await using var renderer = new HtmlRenderer(services, logs);
        return await renderer.Dispatcher.InvokeAsync(async () =>
            (await renderer.RenderComponentAsync<TComponent>(ParameterView.FromDictionary(parameters))).ToHtmlString());
    }

    /// <summary>A whole page. Nobody else may keep it: it shows what one key may see.</summary>
    public async Task<IResult> PageAsync<TComponent>(
        HttpContext context, IDictionary<string, object?> parameters, int status = StatusCodes.Status200OK) where TComponent : IComponent
    {
        var html = await RenderAsync<TComponent>(parameters);
        context.Response.Headers.CacheControl = "private, no-cache";
        return TypedResults.Text($"<!DOCTYPE html>\n{html}", "text/html", System.Text.Encoding.UTF8, status);
    }
}
