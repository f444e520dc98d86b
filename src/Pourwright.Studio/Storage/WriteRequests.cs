using System.Security.Cryptography;
using Google.Protobuf;
using Google.Protobuf.Reflection;
using Grpc.Core;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Storage;

/// <summary>Load, decide and save of one call, in one write: a repeat gets the first answer, a dry run keeps nothing.</summary>
/// <remarks>
/// A request that carries `request_id` (a UUID) is remembered with its answer for <see cref="Honoured"/>; only accepted requests are.
/// The same id with another body is refused. `validate_only` runs the same code, then undoes it; it neither asks nor fills the memory.
/// The key is the request's message name and the id, whoever calls.
/// </remarks>
public sealed class WriteRequests(StudioWriter writer)
{
    /// <summary>How long a `request_id` is honoured.</summary>
    public static readonly TimeSpan Honoured = TimeSpan.FromDays(7);

    /// <summary>Answers <paramref name="request"/> by <paramref name="handle"/>, or by the answer it was given before.</summary>
    /// <exception cref="Refusal">FIELD_INVALID when request_id is no UUID, REQUEST_ID_REUSED, or whatever <paramref name="handle"/> refuses.</exception>
    public async Task<TResponse> RunAsync<TRequest, TResponse>(
        TRequest request, Func<StudioTransaction, TResponse> handle, CancellationToken ct)
        where TRequest : IMessage<TRequest>
        where TResponse : IMessage<TResponse>, new()
    {
        try
        {
            return await WriteAsync(request, handle, ct);
        }
        catch (Refusal refusal) when (IsOfOurMaking(refusal, request))
        {
            return await WriteAsync(request, handle, ct);
        }
    }

    /// <summary>An id drawn here met one that exists: among a million mixes once in a million calls, and nothing that the caller could mend. Another is drawn.</summary>
    private static bool IsOfOurMaking(Refusal refusal, IMessage request) =>
        refusal is { Code: StatusCode.AlreadyExists, Resource: { } taken } && !request.ToString()!.Contains(ResourceNames.IdOf(taken.Name), StringComparison.Ordinal);

    private Task<TResponse> WriteAsync<TRequest, TResponse>(TRequest request, Func<StudioTransaction, TResponse> handle, CancellationToken ct)
        where TRequest : IMessage<TRequest>
        where TResponse : IMessage<TResponse>, new()
    {
        if (IsDryRun(request)) return writer.WriteAsync(transaction => RunDry(transaction, handle), ct);
        // Taken here: the writer's thread answers no call.
        var call = CallAtHand.Current;
        if (RequestId(request) is not { } id) return writer.WriteAsync(RunTold, ct);
        var key = new Key(request.Descriptor.FullName, id, Fingerprint(request));
        return writer.WriteAsync(transaction => RunOnce(transaction, key, RunTold), ct);

        TResponse RunTold(StudioTransaction transaction)
        {
            var response = handle(transaction);
            call?.Wrote(transaction, request, response);
            return response;
        }
    }

    /// <summary>The answer that a request was given before; null where it is new. For work too long for the writer, which asks before it begins.</summary>
    /// <exception cref="Refusal">FIELD_INVALID when request_id is no UUID, REQUEST_ID_REUSED.</exception>
    public static TResponse? Answered<TResponse>(StudioSession session, IMessage request) where TResponse : class, IMessage<TResponse>, new()
    {
        if (RequestId(request) is not { } id) return null;
        var key = new Key(request.Descriptor.FullName, id, Fingerprint(request));
        return FindAnswer(session, key) is { } answer ? Repeat<TResponse>(answer, key) : null;
    }

    private static TResponse RunDry<TResponse>(StudioTransaction transaction, Func<StudioTransaction, TResponse> handle)
    {
        transaction.KeepNothing();
        return handle(transaction);
    }

    private static TResponse RunOnce<TResponse>(StudioTransaction transaction, Key key, Func<StudioTransaction, TResponse> handle)
        where TResponse : IMessage<TResponse>, new()
    {
        if (FindAnswer(transaction, key) is { } answer) return Repeat<TResponse>(answer, key);
        var response = handle(transaction);
        Remember(transaction, key, response);
        return response;
    }

    private static TResponse Repeat<TResponse>(Answer answered, Key key) where TResponse : IMessage<TResponse>, new()
    {
        if (!answered.Fingerprint.AsSpan().SequenceEqual(key.Fingerprint)) throw Refusal.RequestIdReused(key.RequestId);
        var response = new TResponse();
        response.MergeFrom(answered.Bytes);
        return response;
    }

    private static Answer? FindAnswer(StudioSession session, Key key) => session.Find<Answer>(
        """
        SELECT fingerprint, answer AS bytes FROM requests_seen WHERE method = @Method AND request_id = @RequestId
        """, key);

    private static void Remember(StudioTransaction transaction, Key key, IMessage response) => transaction.Execute(
        """
        INSERT INTO requests_seen (method, request_id, fingerprint, answer, seen_ms)
        VALUES (@Method, @RequestId, @Fingerprint, @answer, @now)
        """,
        new { key.Method, key.RequestId, key.Fingerprint, answer = response.ToByteArray(), now = transaction.Now.ToUnixMs() });

    private static bool IsDryRun(IMessage request) => Value(request, "validate_only") is true;

    private static string? RequestId(IMessage request)
    {
        if (Value(request, "request_id") is not string { Length: > 0 } text) return null;
        if (Guid.TryParseExact(text, "D", out var id) && id != Guid.Empty) return id.ToString();
        throw Refusal.Invalid("request_id", text, "must be a UUID such as 5c0f1f0e-6a3e-4d1b-9d0e-0c6f2b7a9e11; make one for each new request.");
    }

    private static object? Value(IMessage request, string field) =>
        request.Descriptor.FindFieldByName(field) is { } found ? found.Accessor.GetValue(request) : null;

    private static byte[] Fingerprint(IMessage request)
    {
        var bytes = new byte[request.CalculateSize()];
        // Deterministic: the entries of a map come in one order, whatever order the client sent.
        using var output = new CodedOutputStream(bytes) { Deterministic = true };
        request.WriteTo(output);
        return SHA256.HashData(bytes);
    }

    private sealed record Key(string Method, string RequestId, byte[] Fingerprint);

    private sealed record Answer(byte[] Fingerprint, byte[] Bytes);
}
