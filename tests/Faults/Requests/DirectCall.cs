using Grpc.Core;

namespace Pourwright.Faults.Requests;

/// <summary>What a handler is told of its call where no network is between.</summary>
internal sealed class DirectCall : ServerCallContext
{
    private readonly Metadata _headers = [], _trailers = [];

    protected override string MethodCore => "";

    protected override string HostCore => "";

    protected override string PeerCore => "";

    protected override DateTime DeadlineCore => DateTime.MaxValue;

    protected override Metadata RequestHeadersCore => _headers;

    protected override CancellationToken CancellationTokenCore => CancellationToken.None;

    protected override Metadata ResponseTrailersCore => _trailers;

    protected override Status StatusCore { get; set; }

    protected override WriteOptions? WriteOptionsCore { get; set; }

    protected override AuthContext AuthContextCore => new("", []);

    protected override ContextPropagationToken CreatePropagationTokenCore(ContextPropagationOptions? options) => throw new NotSupportedException();

    protected override Task WriteResponseHeadersAsyncCore(Metadata responseHeaders) => Task.CompletedTask;
}
