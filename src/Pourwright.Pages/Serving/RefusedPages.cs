using Grpc.Core;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Pages.Shell;
using Pourwright.Pages.SignIn;
using Pourwright.Pages.Words;

namespace Pourwright.Pages.Serving;

/// <summary>Shows a person what the API refused and why.</summary>
public sealed class RefusedPages(RequestDelegate next)
{
    public async Task InvokeAsync(HttpContext context)
    {
        try
        {
            await next(context);
        }
        catch (RpcException) when (context.RequestAborted.IsCancellationRequested)
        {
            // Nobody waits for the answer any more.
        }
        catch (RpcException refusal) when (!context.Response.HasStarted)
        {
            var visit = context.RequestServices.GetRequiredService<Visit>();
            var page = refusal.StatusCode == StatusCode.Unauthenticated
                ? await visit.PageAsync<SignInPage>(StatusCodes.Status401Unauthorized, ("To", $"{context.Request.Path}{context.Request.QueryString}"))
                : await visit.PageAsync<RefusedPage>(StatusOf(refusal.StatusCode), ("Said", new Sayings(visit.Manner, TimeZoneInfo.Utc).Of(refusal)), ("Back", BackOf(context.Request)));
            await page.ExecuteAsync(context);
        }
    }

    private static int StatusOf(StatusCode code) => code switch
    {
        StatusCode.NotFound => StatusCodes.Status404NotFound,
        StatusCode.InvalidArgument or StatusCode.OutOfRange => StatusCodes.Status400BadRequest,
        StatusCode.FailedPrecondition or StatusCode.Aborted or StatusCode.AlreadyExists => StatusCodes.Status409Conflict,
        StatusCode.Unauthenticated => StatusCodes.Status401Unauthorized,
        StatusCode.PermissionDenied => StatusCodes.Status403Forbidden,
        StatusCode.Unavailable => StatusCodes.Status503ServiceUnavailable,
        _ => StatusCodes.Status500InternalServerError,
    };

    /// <summary>The page that it was asked from, where that is one of ours; else the first.</summary>
    private static string BackOf(HttpRequest request) =>
        Uri.TryCreate(request.Headers.Referer, UriKind.Absolute, out var from) && from.Authority == request.Host.Value ? from.PathAndQuery : "/";
}
