using System.Globalization;
using Grpc.Core;
using Pourwright.Host.Limits;
using Pourwright.Studio.Refusals;

namespace Pourwright.Host;

/// <summary>Says what is wrong when the bytes of a call are no message, or too many.</summary>
/// <remarks>
/// The framework reads the message before any interceptor runs and answers UNKNOWN, "exception was thrown by handler", or of one that is
/// too large RESOURCE_EXHAUSTED without a reason. Nothing else ends so: what a handler throws, <see cref="RefusalInterceptor"/> has mapped.
/// </remarks>
internal sealed class UnreadableMessages(RequestDelegate next, NodeLimits limits)
{
    private static readonly string Unknown = Number(StatusCode.Unknown), Exhausted = Number(StatusCode.ResourceExhausted);

    public async Task InvokeAsync(HttpContext context)
    {
        await next(context);
        if (context.Response.HasStarted) return;
        var headers = context.Response.Headers;
        var status = headers["grpc-status"].ToString();
        if (status == Unknown) RefusedRequest.SetTrailers(headers, Refusal.MessageUnreadable().ToRpcException());
        if (status == Exhausted && !headers.ContainsKey("grpc-status-details-bin"))
            RefusedRequest.SetTrailers(headers, Refusal.MessageTooLarge(limits.MessageBytes).ToRpcException());
    }

    private static string Number(StatusCode code) => ((int)code).ToString(CultureInfo.InvariantCulture);
}
