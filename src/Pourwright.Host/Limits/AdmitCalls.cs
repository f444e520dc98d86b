using Grpc.AspNetCore.Server;
using Grpc.Core;
using Microsoft.AspNetCore.Http.Features;
using Pourwright.Studio.Access;
using Pourwright.Studio.Audit;
using Pourwright.Studio.Refusals;

namespace Pourwright.Host.Limits;

/// <summary>Asks of every call, before a byte of its message is read: may one more be made, does it need a key, is it small enough, is a stream or the planner free.</summary>
/// <remarks>What the holder of the key may do is asked where the message is known, by <see cref="AccessInterceptor"/>.</remarks>
internal sealed class AdmitCalls(RequestDelegate next, CallLimits calls, NodeLimits limits, TurnedAwayCalls turnedAway)
{
    public async Task InvokeAsync(HttpContext context, PolicyTable policies)
    {
        if (context.GetEndpoint()?.Metadata.GetMetadata<GrpcMethodMetadata>()?.Method is { } method) await AdmitAsync(context, method, policies.Of(method.FullName));
        else await next(context);
    }

    private async Task AdmitAsync(HttpContext context, IMethod method, Policy? policy)
    {
        IDisposable? share;
        try
        {
            var asker = Asker.Of(context);
            calls.Count(asker);
            CheckKey(context, method, policy);
            CheckSize(context);
            share = await calls.TakeAsync(asker, method, context.RequestAborted);
        }
        catch (Refusal refusal)
        {
            await turnedAway.TellAsync(context, method.Name, refusal);
            await RefusedRequest.AnswerAsync(context, refusal);
            return;
        }
        using (share) await RunAsync(context, method);
    }

    /// <summary>A single gRPC message costs little to read and is let through: further in it is also known what was asked for. JSON costs more, and a stream holds a place.</summary>
    private static void CheckKey(HttpContext context, IMethod method, Policy? policy)
    {
        if (method.Type == MethodType.Unary && RefusedRequest.IsGrpc(context.Request)) return;
        if (policy?.Reach != Reach.Anyone && HeldKey.Of(context) is null)
            throw context.Features.Get<Refusal>() ?? Refusal.KeyNotAccepted();
    }

    /// <summary>Of JSON, also of one that does not say how long it is; of gRPC the framework counts the bytes of each message.</summary>
    private void CheckSize(HttpContext context)
    {
        if (RefusedRequest.IsGrpc(context.Request)) return;
        if (context.Request.ContentLength > limits.MessageBytes) throw Refusal.MessageTooLarge(limits.MessageBytes);
        context.Features.GetRequiredFeature<IHttpMaxRequestBodySizeFeature>().MaxRequestBodySize = limits.MessageBytes;
    }

    private async Task RunAsync(HttpContext context, IMethod method)
    {
        if (method.Type != MethodType.Unary) await next(context);
        else if (RefusedRequest.IsGrpc(context.Request))
        {
            CallDeadline.Cap(context.Request.Headers, limits.CallDuration);
            await next(context);
        }
        else await RunForAsync(context, limits.CallDuration);
    }

    /// <summary>JSON knows no deadline of its own.</summary>
    private async Task RunForAsync(HttpContext context, TimeSpan most)
    {
        using var over = new CancellationTokenSource(most);
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted, over.Token);
        context.RequestAborted = ending.Token;
        context.Features.Set(new CallEnd(most, over.Token));
        await next(context);
    }
}
