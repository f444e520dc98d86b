namespace Pourwright.Host.Limits;

/// <summary>How much of itself a node lends, and to whom; section `Limits`: `--Limits:OpenStreams=64`. Defaults are common practice, no source, where none is named.</summary>
public sealed record NodeLimits
{
    /// <summary>The largest message, and the largest body of a request without a stream, in bytes: a batch of 1,000 readings takes 70 kB, as JSON 150 kB.</summary>
    public int MessageBytes { get; init; } = 256 * 1024;

    /// <summary>Connections open at once on all ports; one more is closed when it comes. Each costs memory alone, until it says something.</summary>
    public long Connections { get; init; } = 5_000;

    /// <summary>Of a connection over HTTP/2. RFC 9113 (6.5.2) asks for 100 at least.</summary>
    public int StreamsPerConnection { get; init; } = 100;

    /// <summary>Of the headers of a request together, in bytes.</summary>
    public int HeaderBytes { get; init; } = 16 * 1024;

    /// <summary>From the first byte of a request to its last header.</summary>
    public TimeSpan HeadersWithin { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>How long a connection stays on which nothing is asked.</summary>
    public TimeSpan IdleConnection { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>A body that comes slower, in bytes a second, is given up. Calls that stream are let off.</summary>
    public double BodyBytesPerSecond { get; init; } = 240;

    /// <summary>How long a body may be slower than that.</summary>
    public TimeSpan BodyGrace { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>After so long a silence an HTTP/2 client is asked whether it is there.</summary>
    public TimeSpan PingAfter { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>One that does not answer by then is taken to be gone.</summary>
    public TimeSpan PingWithin { get; init; } = TimeSpan.FromSeconds(20);

    /// <summary>The longest that a call without a stream runs: suspects of 10,000 pieces take a fifth of it.</summary>
    public TimeSpan CallDuration { get; init; } = TimeSpan.FromMinutes(2);

    /// <summary>Calls of one key, as many a second on end; 0 sets no limit.</summary>
    public int CallsPerSecond { get; init; } = 500;

    /// <summary>Calls of one key at once after a rest: the page of 500 pieces asks for each.</summary>
    public int CallBurst { get; init; } = 5_000;

    /// <summary>The same of all who call from one address without a good key; of IPv6 that is its network of 64 bits. 0 sets no limit.</summary>
    public int AnonymousCallsPerSecond { get; init; } = 20;

    /// <inheritdoc cref="AnonymousCallsPerSecond"/>
    public int AnonymousCallBurst { get; init; } = 200;

    /// <summary>Calls of one key that stream, open at once.</summary>
    public int OpenStreams { get; init; } = 64;

    /// <summary>Seasons planned or planned anew at once: each takes all cores it gets.</summary>
    public int PlansAtOnce { get; init; } = 2;

    /// <summary>How many more may wait for their turn.</summary>
    public int PlansWaiting { get; init; } = 4;
}
