namespace Pourwright.Host;

/// <summary>`health`: asks the node on this machine whether it lives; exit code 0 when it does. For container and service checks.</summary>
public static class HealthCommand
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(4);

    public static async Task<int> RunAsync()
    {
        var configuration = new ConfigurationBuilder().AddEnvironmentVariables().Build();
        var node = configuration.GetSection("Node").Get<NodeSettings>() ?? new();
        using var client = new HttpClient { Timeout = Patience };
        try
        {
            using var answer = await client.GetAsync(new Uri($"http://127.0.0.1:{node.HttpPort}/healthz"));
            return answer.IsSuccessStatusCode ? 0 : 1;
        }
        catch (Exception e) when (e is HttpRequestException or TaskCanceledException)
        {
            return 1;
        }
    }
}
