using Pourwright.Testing;

namespace Pourwright.Journeys;

/// <summary>The service as another language's stock client sees it.</summary>
public sealed class AnyClientTests : IDisposable
{
    private readonly TestStore _store = TestStore.Create();

    public void Dispose() => _store.Dispose();

    [Fact]
    public async Task NodeClient_WithTheProtosAsTheyStand_LogsAMixAndReadsTheForecast()
    {
        await using var node = await NodeProcess.StartAsync(_store);

        var story = await NodeScript.RunAsync("log-a-mix.js", $"127.0.0.1:{node.GrpcPort}", GoogleProtos(), node.Key);

        // 500 g of B for 1000 g of A is 50 parts where 42 are right: (50 - 42) / 42 = +19.0 %, over the 2 % of the system.
        Assert.Equal(9, story.GetProperty("refused").GetProperty("code").GetInt32());
        Assert.Contains("19.0", story.GetProperty("refused").GetProperty("message").GetString(), StringComparison.Ordinal);
        Assert.Equal(42, story.GetProperty("mix").GetProperty("hardener").GetDouble(), 9);
        var safe = story.GetProperty("gates").EnumerateArray().ToDictionary(
            gate => gate.GetProperty("gate").GetString()!, gate => gate.GetProperty("safe_seconds_after_pour").GetDouble() / 3600);
        // 40 mm of the deep casting class at 20 °C: demold near 47 h in the middle case, so the safe one is later; never days off.
        Assert.InRange(safe["GATE_DEMOLD"], 47, 150);
        Assert.True(safe["GATE_GEL"] < safe["GATE_DEMOLD"] && safe["GATE_DEMOLD"] < safe["GATE_HANDLE"]);
    }

    /// <summary>The google/* protos that the build itself compiled against.</summary>
    private static string GoogleProtos() => typeof(AnyClientTests).Assembly.GetCustomAttributes(typeof(System.Reflection.AssemblyMetadataAttribute), false)
        .Cast<System.Reflection.AssemblyMetadataAttribute>().Single(attribute => attribute.Key == "GoogleProtos").Value!;
}
