using System.Globalization;
using Grpc.Core;
using Pourwright.Studio.Refusals;

namespace Pourwright.Host;

/// <summary>Says what is wrong when the bytes of a call are no message.</summary>
/// <remarks>
/// The framework reads the message before any interceptor runs and answers UNKNOWN, "exception was thrown by handler". Nothing
/// else ends as UNKNOWN: what a handler throws, <see cref="RefusalInterceptor"/> has mapped.
/// </remarks>
public sealed class UnreadableMessages(RequestDelegate next)
{
    private static readonly string Unknown = ((int)StatusCode.Unknown).ToString(CultureInfo.InvariantCulture);

    public async Task InvokeAsync(HttpContext context)
    {
        await next(context);
        // Nothing was sent yet, so the status stands among the headers: a response of trailers only.
        if (!context.Response.HasStarted && context.Response.Headers["grpc-status"] == Unknown)
            Replace(context.Response.Headers, Refusal.MessageUnreadable().ToRpcException());
    }

    private static void Replace(IHeaderDictionary headers, RpcException refusal)
    {
        headers["grpc-status"] = ((int)refusal.StatusCode).ToString(CultureInfo.InvariantCulture);
        headers["grpc-message"] = Uri.EscapeDataString(refusal.Status.Detail);
        foreach (var entry in refusal.Trailers) headers[entry.Key] = Convert.ToBase64String(entry.ValueBytes);
    }
}
