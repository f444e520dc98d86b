using System.Security.Authentication;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Google.Rpc;
using Grpc.Core;
using Spectre.Console.Rendering;

namespace Pourwright.Cli.Kernel;

/// <summary>What the server said when it did not do what was asked.</summary>
public static class ServerRefusal
{
    private static readonly JsonFormatter Json = new(
        JsonFormatter.Settings.Default.WithIndentation().WithTypeRegistry(TypeRegistry.FromFiles(ErrorDetailsReflection.Descriptor)));

    /// <summary>How the command ends.</summary>
    public static int ExitCode(RpcException refusal) => IsAway(refusal) ? ExitCodes.ServerAway : ExitCodes.Refused;

    /// <summary>The machine-readable reason; empty where the server gives none.</summary>
    public static string Reason(RpcException refusal) => refusal.GetRpcStatus()?.GetDetail<ErrorInfo>()?.Reason ?? "";

    /// <summary>As <c>google.rpc.Status</c> in JSON.</summary>
    public static string ToJson(RpcException refusal) => Json.Format(
        refusal.GetRpcStatus() ?? new Google.Rpc.Status { Code = (int)refusal.StatusCode, Message = refusal.Status.Detail });

    /// <summary>For people: the text, each field at fault on a line, and the reason.</summary>
    /// <param name="refusal">What came back.</param>
    /// <param name="asked">Which server was asked, and how.</param>
    /// <param name="requestId">The id of the write that may or may not have been done; nothing for a question.</param>
    public static IRenderable Show(RpcException refusal, StudioSettings asked, string? requestId)
    {
        var status = refusal.GetRpcStatus();
        return Sheets.Stack(
        [
            new Cell(IsAway(refusal) ? $"No answer from {asked.Address}: {refusal.Status.Detail}" : $"REFUSED: {Text(refusal, status)}", Tone.Bad).Render(),
            .. Faults(refusal, status).Select(fault => new Cell($"  {fault.Field}: {fault.Description}").Render()),
            IsAway(refusal) && WayOut(refusal, asked) is { } wayOut ? new Cell(wayOut).Render() : null,
            IsAway(refusal) && requestId is not null
                ? new Cell($"Send it again with --request-id {requestId}: nothing is done twice.").Render()
                : null,
            status?.GetDetail<ErrorInfo>() is { } info ? new Cell(info.Reason, Tone.Faint).Render() : null,
        ]);
    }

    /// <summary>Nothing came that a server had said: a connection that is refused or cut has one code or another.</summary>
    private static bool IsAway(RpcException refusal) =>
        refusal.StatusCode is StatusCode.Unavailable or StatusCode.DeadlineExceeded || refusal.Status.DebugException is HttpRequestException;

    /// <summary>This side did not take the server for what it says it is; what the other side did not like comes with a cause of its own.</summary>
    private static bool IsDistrusted(RpcException refusal) => refusal.Status.DebugException is HttpRequestException { InnerException: AuthenticationException { InnerException: null } };

    private static string? WayOut(RpcException refusal, StudioSettings asked) =>
        IsDistrusted(refusal) ? "Its certificate is not trusted here. Name its authority, --authority FILE or POURWRIGHT_AUTHORITY, and call the server as its certificate does."
        : asked.Address.StartsWith("https:", StringComparison.Ordinal) && asked.Tls.Certificate is null ? "Where it lets only clients with a certificate connect, show it one: --certificate FILE, or POURWRIGHT_CERTIFICATE."
        : null;

    private static string Text(RpcException refusal, Google.Rpc.Status? status) =>
        status?.Message is { Length: > 0 } text ? text : refusal.Status.Detail is { Length: > 0 } detail ? detail : refusal.StatusCode.ToString();

    /// <summary>Fields at fault that the text does not speak of already, as it does where there is but one.</summary>
    private static IEnumerable<BadRequest.Types.FieldViolation> Faults(RpcException refusal, Google.Rpc.Status? status) =>
        (status?.GetDetail<BadRequest>()?.FieldViolations ?? [])
        .Where(fault => !Text(refusal, status).Contains(fault.Description, StringComparison.Ordinal));
}
