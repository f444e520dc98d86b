using Microsoft.Extensions.Logging.Abstractions;
using Pourwright.Host.Tls;

namespace Pourwright.Host;

/// <summary>`health`, `health live` or `health ready`: asks the node on this machine; exit code 0 when it says yes. For container and service checks.</summary>
public static class HealthCommand
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(4);

    public static async Task<int> RunAsync(string[] args, TextWriter errors)
    {
        if (args is not ([] or ["live"] or ["ready"]))
        {
            errors.WriteLine("Ask for `health live`, `health ready`, or `health` alone, which is the same as ready.");
            return 2;
        }
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        var node = configuration.GetSection("Node").Get<NodeSettings>() ?? new();
        var tls = TlsRegistration.Of(configuration);
        using var client = new HttpClient(ClientOf(tls)) { Timeout = Patience };
        try
        {
            using var answer = await client.GetAsync(new Uri($"{(tls.IsOn ? "https" : "http")}://127.0.0.1:{node.HttpPort}/healthz/{(args is [var what] ? what : "ready")}"));
            await errors.WriteAsync(await answer.Content.ReadAsStringAsync());
            return answer.IsSuccessStatusCode ? 0 : 1;
        }
        catch (Exception e) when (e is HttpRequestException or TaskCanceledException)
        {
            return 1;
        }
    }

    private static SocketsHttpHandler ClientOf(TlsSettings tls) =>
        new NodeTls(tls, new(tls, TimeProvider.System, NullLogger<NodeCertificate>.Instance)).OwnClient(isThisNode: true);
}
