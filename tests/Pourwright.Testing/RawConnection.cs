using System.Net;
using System.Net.Sockets;
using System.Text;

namespace Pourwright.Testing;

/// <summary>A connection to a node that says what it likes, or nothing.</summary>
public sealed class RawConnection : IDisposable
{
    /// <summary>Begins HTTP/2, with settings that leave all as it is (RFC 9113, 3.4).</summary>
    public static readonly byte[] Http2Beginning = [.. "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"u8, 0, 0, 0, 4, 0, 0, 0, 0, 0];

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly TcpClient _client = new();

    private NetworkStream Stream => _client.GetStream();

    public static async Task<RawConnection> OpenAsync(int port)
    {
        var connection = new RawConnection();
        await connection._client.ConnectAsync(IPAddress.Loopback, port);
        return connection;
    }

    public static async Task<RawConnection> OpenAsync(int port, ReadOnlyMemory<byte> said)
    {
        var connection = await OpenAsync(port);
        await connection.SayAsync(said);
        return connection;
    }

    public Task SayAsync(string text) => SayAsync(Encoding.ASCII.GetBytes(text));

    public async Task SayAsync(ReadOnlyMemory<byte> bytes) => await Stream.WriteAsync(bytes);

    /// <summary>What it is told next; empty where the node has closed it.</summary>
    public async Task<string> HearAsync()
    {
        var buffer = new byte[16 * 1024];
        try
        {
            var count = await Stream.ReadAsync(buffer).AsTask().WaitAsync(Patience);
            return Encoding.ASCII.GetString(buffer, 0, count);
        }
        catch (IOException)
        {
            return "";
        }
    }

    /// <summary>All it is told until the node closes it.</summary>
    public async Task<string> HearAllAsync()
    {
        var all = new StringBuilder();
        while (await HearAsync() is { Length: > 0 } part) all.Append(part);
        return all.ToString();
    }

    public void Dispose() => _client.Dispose();
}
