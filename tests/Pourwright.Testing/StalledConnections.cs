using System.Buffers.Binary;
using System.Net.Sockets;
using System.Text;

namespace Pourwright.Testing;

/// <summary>Connections of clients that began something and go no further, as a bad net leaves them, or somebody means to.</summary>
public sealed class StalledConnections : IDisposable
{
    private const byte Data = 0, Headers = 1, Settings = 4, EndHeaders = 4, EndStream = 1;

    private const string TrickledHeaders = "GET /healthz/live HTTP/1.1\r\nHost: node\r\nX-Slow: ";

    private readonly List<RawConnection> _open = [];
    private readonly List<RawConnection> _trickling = [];

    private StalledConnections()
    {
    }

    /// <summary>Opens so many, of all kinds in turn.</summary>
    /// <param name="grpcPort">Of HTTP/2.</param>
    /// <param name="httpPort">Of HTTP/1.1.</param>
    /// <param name="key">What those show that come so far.</param>
    /// <param name="count">Of all kinds together.</param>
    public static async Task<StalledConnections> OpenAsync(int grpcPort, int httpPort, string key, int count)
    {
        (int Port, byte[] Said)[] kinds =
        [
            (httpPort, []),
            (grpcPort, []),
            (httpPort, Encoding.ASCII.GetBytes(TrickledHeaders)),
            (httpPort, Encoding.ASCII.GetBytes($"POST /v1/studios/alder/mixes HTTP/1.1\r\nHost: node\r\nAuthorization: Bearer {key}\r\nContent-Type: application/json\r\nContent-Length: 2000\r\n\r\n{{")),
            (grpcPort, RawConnection.Http2Beginning),
            (grpcPort, HalfAMessage(key)),
            (grpcPort, UnreadWatch(key)),
        ];
        var stalled = new StalledConnections();
        for (var i = 0; i < count; i++)
        {
            var (port, said) = kinds[i % kinds.Length];
            var connection = await RawConnection.OpenAsync(port, said);
            stalled._open.Add(connection);
            if (i % kinds.Length == 2) stalled._trickling.Add(connection);
        }
        return stalled;
    }

    /// <summary>One more byte of each header that never ends, where the node has not given it up.</summary>
    public async Task TrickleAsync()
    {
        foreach (var connection in _trickling)
        {
            try
            {
                await connection.SayAsync("x");
            }
            catch (Exception e) when (e is IOException or SocketException)
            {
                // Closed by the node, as it should be.
            }
        }
    }

    public void Dispose() => _open.ForEach(connection => connection.Dispose());

    /// <summary>A stream of readings whose first message says that it has 1,000 bytes and has four.</summary>
    public static byte[] HalfAMessage(string key) =>
    [
        .. RawConnection.Http2Beginning,
        .. Frame(Headers, EndHeaders, 1, CallOf("/pourwright.v1.ClimateService/StreamReadings", key)),
        .. Frame(Data, 0, 1, [0, 0, 0, 3, 232, 1, 2, 3, 4]),
    ];

    /// <summary>A watch whose client has no room for an answer, and makes none: SETTINGS_INITIAL_WINDOW_SIZE (RFC 9113, 6.5.2) is 0.</summary>
    public static byte[] UnreadWatch(string key) =>
    [
        .. "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"u8,
        .. Frame(Settings, 0, 0, [0, 4, 0, 0, 0, 0]),
        .. Frame(Headers, EndHeaders, 1, CallOf("/grpc.health.v1.Health/Watch", key)),
        .. Frame(Data, EndStream, 1, [0, 0, 0, 0, 0]),
    ];

    /// <summary>RFC 9113, 4.1: length, type, flags, stream.</summary>
    private static byte[] Frame(byte type, byte flags, int stream, byte[] payload)
    {
        var head = new byte[9];
        BinaryPrimitives.WriteInt32BigEndian(head, payload.Length << 8);
        (head[3], head[4]) = (type, flags);
        BinaryPrimitives.WriteInt32BigEndian(head.AsSpan(5), stream);
        return [.. head, .. payload];
    }

    private static byte[] CallOf(string path, string key) =>
    [
        .. Field(":method", "POST"), .. Field(":scheme", "http"), .. Field(":path", path), .. Field(":authority", "node"),
        .. Field("content-type", "application/grpc"), .. Field("te", "trailers"), .. Field("authorization", $"Bearer {key}"),
    ];

    /// <summary>RFC 7541, 6.2.2: a field as it stands, not kept; lengths below 127 take a byte.</summary>
    private static byte[] Field(string name, string value) => [0, (byte)name.Length, .. Encoding.ASCII.GetBytes(name), (byte)value.Length, .. Encoding.ASCII.GetBytes(value)];
}
