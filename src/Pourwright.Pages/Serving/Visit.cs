using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http;
using Pourwright.Pages.Words;

namespace Pourwright.Pages.Serving;

/// <summary>One request of a person: how things are said to them, and how a page is answered.</summary>
public sealed class Visit(IHttpContextAccessor accessor, PageRenderer renderer)
{
    private HttpContext Context => accessor.HttpContext!;

    /// <summary>By cookie, else by what the browser prefers.</summary>
    public Manner Manner => new(
        Texts.In(Context.Request.Cookies[Manner.LanguageCookie] ?? Preferred()),
        Units.In(Context.Request.Cookies[Manner.UnitsCookie]),
        Uri.UnescapeDataString(Context.Request.Cookies[Manner.WhoCookie] ?? ""));

    /// <summary>The name under which this form is sent; it is kept for the next one.</summary>
    public string SignedBy(IFormCollection form)
    {
        var who = form["who"].ToString().Trim();
        Keep(Manner.WhoCookie, Uri.EscapeDataString(who));
        return who;
    }

    /// <summary>Keeps a choice in a cookie that no script and no other site can use.</summary>
    public void Keep(string cookie, string value) => Context.Response.Cookies.Append(
        cookie, value, new() { MaxAge = TimeSpan.FromDays(365), SameSite = SameSiteMode.Strict, HttpOnly = true, Secure = Context.Request.IsHttps });

    /// <summary>A page; `Manner` and `Path` are set here.</summary>
    public Task<IResult> PageAsync<TPage>(params (string Name, object? Value)[] parameters) where TPage : IComponent =>
        PageAsync<TPage>(StatusCodes.Status200OK, parameters);

    /// <inheritdoc cref="PageAsync{TPage}(ValueTuple{string, object}[])"/>
    public Task<IResult> PageAsync<TPage>(int status, params (string Name, object? Value)[] parameters) where TPage : IComponent
    {
        var all = parameters.ToDictionary(parameter => parameter.Name, parameter => parameter.Value);
        all["Manner"] = Manner;
        return renderer.PageAsync<TPage>(Context, all, status);
    }

    private string? Preferred() => Context.Request.GetTypedHeaders().AcceptLanguage
        .OrderByDescending(language => language.Quality ?? 1)
        .Select(language => language.Value.Value?.Split('-')[0])
        .FirstOrDefault(language => Texts.Languages.Contains(language));
}
