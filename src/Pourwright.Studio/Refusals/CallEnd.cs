using Grpc.Core;
using Microsoft.AspNetCore.Http;

namespace Pourwright.Studio.Refusals;

/// <summary>The time that a node gives a call over JSON, whose client could set no deadline; a feature of its request.</summary>
/// <param name="Most">How long it may run.</param>
/// <param name="Over">Ends when that is over.</param>
public sealed record CallEnd(TimeSpan Most, CancellationToken Over)
{
    /// <summary>Where the framework keeps the request of a call over JSON.</summary>
    private const string RequestKey = "__HttpContext";

    /// <summary>That of a call whose time is over; null of any other.</summary>
    public static CallEnd? Reached(ServerCallContext context) =>
        context.UserState.TryGetValue(RequestKey, out var request) && ((HttpContext)request).Features.Get<CallEnd>() is { Over.IsCancellationRequested: true } end ? end : null;
}
