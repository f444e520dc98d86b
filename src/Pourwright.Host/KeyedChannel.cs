using Grpc.Core;
using Grpc.Net.Client;

namespace Pourwright.Host;

/// <summary>Channels of this machine's own clients.</summary>
public static class KeyedChannel
{
    /// <summary>A channel whose every call carries a key, also over plain HTTP: it leads to this machine.</summary>
    public static GrpcChannel Open(string address, string key, int? receiveBytesMax = null) => GrpcChannel.ForAddress(address, new()
    {
        Credentials = ChannelCredentials.Create(
            address.StartsWith("https:", StringComparison.Ordinal) ? ChannelCredentials.SecureSsl : ChannelCredentials.Insecure,
            CallCredentials.FromInterceptor((_, headers) =>
            {
                headers.Add("authorization", $"Bearer {key}");
                return Task.CompletedTask;
            })),
        UnsafeUseInsecureChannelCallCredentials = true,
        MaxReceiveMessageSize = receiveBytesMax ?? 4 * 1024 * 1024,
    });
}
