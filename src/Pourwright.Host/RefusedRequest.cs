using System.Globalization;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Rpc;
using Grpc.Core;
using Pourwright.Studio.Refusals;

namespace Pourwright.Host;

/// <summary>Answers a request with a refusal where no handler of it runs: as a gRPC response of trailers only, or as the JSON that such a call ends with.</summary>
internal static class RefusedRequest
{
    private const string GrpcType = "application/grpc";

    /// <summary>Details of a refusal, as JSON writes them.</summary>
    public static readonly TypeRegistry Details = TypeRegistry.FromMessages(
        ErrorInfo.Descriptor, BadRequest.Descriptor, PreconditionFailure.Descriptor, ResourceInfo.Descriptor, RetryInfo.Descriptor);

    private static readonly JsonFormatter Json = new(JsonFormatter.Settings.Default.WithTypeRegistry(Details));

    public static bool IsGrpc(Microsoft.AspNetCore.Http.HttpRequest request) => request.ContentType?.StartsWith(GrpcType, StringComparison.OrdinalIgnoreCase) == true;

    public static Task AnswerAsync(HttpContext context, Refusal refusal)
    {
        if (IsGrpc(context.Request))
        {
            context.Response.ContentType = GrpcType;
            SetTrailers(context.Response.Headers, refusal.ToRpcException());
            return Task.CompletedTask;
        }
        context.Response.StatusCode = StatusOf(refusal.Code);
        context.Response.ContentType = "application/json";
        return context.Response.WriteAsync(Json.Format(refusal.ToRpcException().GetRpcStatus()));
    }

    /// <summary>Nothing was sent yet, so the status stands among the headers.</summary>
    public static void SetTrailers(IHeaderDictionary headers, RpcException refusal)
    {
        headers["grpc-status"] = ((int)refusal.StatusCode).ToString(CultureInfo.InvariantCulture);
        headers["grpc-message"] = Uri.EscapeDataString(refusal.Status.Detail);
        foreach (var entry in refusal.Trailers) headers[entry.Key] = Convert.ToBase64String(entry.ValueBytes);
    }

    /// <summary>As google.rpc.Code pairs them, of what is refused before a handler runs.</summary>
    private static int StatusOf(StatusCode code) => code switch
    {
        StatusCode.Unauthenticated => StatusCodes.Status401Unauthorized,
        StatusCode.ResourceExhausted => StatusCodes.Status429TooManyRequests,
        StatusCode.Unavailable => StatusCodes.Status503ServiceUnavailable,
        _ => StatusCodes.Status500InternalServerError,
    };
}
