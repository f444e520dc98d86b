using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace Pourwright.Host.Limits;

/// <summary>What the server holds of the limits by itself, before a request is one.</summary>
internal static class ConnectionLimits
{
    /// <summary>So much of a gRPC message may be here before its length is looked at, which says better than the server what is wrong. The server's own default.</summary>
    private const int StreamWindowBytes = 768 * 1024;

    public static void Set(KestrelServerLimits kestrel, NodeLimits limits)
    {
        kestrel.MaxConcurrentConnections = limits.Connections;
        kestrel.MaxRequestBodySize = limits.MessageBytes + StreamWindowBytes;
        kestrel.MaxRequestHeadersTotalSize = limits.HeaderBytes;
        kestrel.RequestHeadersTimeout = limits.HeadersWithin;
        kestrel.KeepAliveTimeout = limits.IdleConnection;
        kestrel.MinRequestBodyDataRate = new(limits.BodyBytesPerSecond, limits.BodyGrace);
        kestrel.Http2.InitialStreamWindowSize = StreamWindowBytes;
        kestrel.Http2.MaxStreamsPerConnection = limits.StreamsPerConnection;
        kestrel.Http2.KeepAlivePingDelay = limits.PingAfter;
        kestrel.Http2.KeepAlivePingTimeout = limits.PingWithin;
    }
}
