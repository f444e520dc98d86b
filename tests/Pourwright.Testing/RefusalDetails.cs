using Google.Rpc;
using Grpc.Core;

namespace Pourwright.Testing;

/// <summary>What a refusal says to a program, read back from the wire.</summary>
public static class RefusalDetails
{
    /// <summary>ErrorInfo.reason; empty where there is no ErrorInfo.</summary>
    public static string Reason(this RpcException refusal) => Detail<ErrorInfo>(refusal)?.Reason ?? "";

    /// <summary>ErrorInfo.metadata.</summary>
    public static IReadOnlyDictionary<string, string> Facts(this RpcException refusal) =>
        (Detail<ErrorInfo>(refusal)?.Metadata ?? []).ToDictionary();

    /// <summary>Field paths of BadRequest, in order.</summary>
    public static IReadOnlyList<string> Fields(this RpcException refusal) =>
        [.. (Detail<BadRequest>(refusal)?.FieldViolations ?? []).Select(violation => violation.Field)];

    private static T? Detail<T>(RpcException refusal) where T : class, Google.Protobuf.IMessage<T>, new() =>
        refusal.GetRpcStatus()?.GetDetail<T>();
}
