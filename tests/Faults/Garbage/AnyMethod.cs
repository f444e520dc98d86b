using System.Diagnostics;
using Google.Protobuf.Reflection;
using Grpc.Core;
using Pourwright.Testing;

namespace Pourwright.Faults.Garbage;

/// <summary>Any call of the protocol, made with bytes that need not be its message.</summary>
internal sealed record AnyMethod(MethodDescriptor Descriptor)
{
    /// <summary>A stream that never ends by itself is read so far.</summary>
    private const int AnswersMost = 3;

    /// <summary>Left out: the solver works for as long as it is given, up to a limit of its own.</summary>
    private static readonly string[] Solving = ["PlanSeason", "Replan", "ExplainClass"];

    private static readonly TimeSpan StreamPatience = TimeSpan.FromMilliseconds(200);

    private static readonly Marshaller<byte[]> Bytes = Marshallers.Create<byte[]>(value => value, value => value);

    /// <summary>Every method of every service but those that plan.</summary>
    public static IReadOnlyList<AnyMethod> All { get; } =
    [
        .. typeof(V1.AccessService).Assembly.GetTypes().Where(type => type.Name.EndsWith("Reflection", StringComparison.Ordinal))
            .SelectMany(type => ((FileDescriptor)type.GetProperty("Descriptor")!.GetValue(null)!).Services)
            .SelectMany(service => service.Methods).Where(method => !Solving.Contains(method.Name))
            .Select(method => new AnyMethod(method)).OrderBy(method => method.Path, StringComparer.Ordinal),
    ];

    /// <summary>`/pourwright.v1.MixService/RecordMix`.</summary>
    public string Path => $"/{Descriptor.Service.FullName}/{Descriptor.Name}";

    public bool IsUnary => !Descriptor.IsServerStreaming && !Descriptor.IsClientStreaming;

    /// <summary>Makes the call; of a stream the first answers are read.</summary>
    public async Task<GarbageAnswer> SendAsync(CallInvoker calls, byte[] request)
    {
        var began = Stopwatch.GetTimestamp();
        try
        {
            await (IsUnary ? calls.AsyncUnaryCall(Raw(MethodType.Unary), null, new(), request).ResponseAsync
                : Descriptor.IsServerStreaming ? ReadAsync(calls, request) : WriteAsync(calls, request));
            return new(StatusCode.OK, "", "", Stopwatch.GetElapsedTime(began));
        }
        catch (RpcException refusal)
        {
            return new(refusal.StatusCode, refusal.Reason(), refusal.Status.Detail, Stopwatch.GetElapsedTime(began));
        }
    }

    private Method<byte[], byte[]> Raw(MethodType type) => new(type, Descriptor.Service.FullName, Descriptor.Name, Bytes, Bytes);

    /// <summary>A watch with nothing to tell is ended by the client, which is no fault.</summary>
    private async Task ReadAsync(CallInvoker calls, byte[] request)
    {
        using var patience = new CancellationTokenSource(StreamPatience);
        try
        {
            using var stream = calls.AsyncServerStreamingCall(Raw(MethodType.ServerStreaming), null, new(cancellationToken: patience.Token), request);
            for (var read = 0; read < AnswersMost && await stream.ResponseStream.MoveNext(patience.Token); read++)
            {
            }
        }
        catch (RpcException ended) when (ended.StatusCode == StatusCode.Cancelled && patience.IsCancellationRequested)
        {
        }
    }

    /// <summary>A server that refuses a call while it is still being sent ends the sending; the answer says why.</summary>
    private async Task WriteAsync(CallInvoker calls, byte[] request)
    {
        using var sending = calls.AsyncClientStreamingCall(Raw(MethodType.ClientStreaming), null, new());
        try
        {
            await sending.RequestStream.WriteAsync(request);
            await sending.RequestStream.CompleteAsync();
        }
        catch (RpcException)
        {
        }
        await sending.ResponseAsync;
    }
}

/// <summary>How a call ended.</summary>
internal sealed record GarbageAnswer(StatusCode Code, string Reason, string Text, TimeSpan Took)
{
    /// <summary>What a node may say of garbage, with the reason in a detail.</summary>
    private static readonly StatusCode[] Words =
    [
        StatusCode.InvalidArgument, StatusCode.NotFound, StatusCode.AlreadyExists, StatusCode.FailedPrecondition, StatusCode.PermissionDenied,
        StatusCode.Unauthenticated, StatusCode.ResourceExhausted, StatusCode.Aborted, StatusCode.OutOfRange,
    ];

    public bool HasWord => Code == StatusCode.OK || (Words.Contains(Code) && Reason.Length > 0);

    /// <summary>The node is away.</summary>
    public bool IsCrash => Code == StatusCode.Unavailable;
}
