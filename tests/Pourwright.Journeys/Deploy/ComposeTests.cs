using YamlDotNet.Core;
using YamlDotNet.Serialization;
using Map = System.Collections.Generic.Dictionary<object, object>;

namespace Pourwright.Journeys.Deploy;

/// <summary>The compose files as text: no container engine is asked. Keys are those of the Compose Specification.</summary>
public sealed class ComposeTests
{
    public static TheoryData<string, string> Services()
    {
        var all = new TheoryData<string, string>();
        foreach (var file in Files)
            foreach (var name in Load(file).Services.Keys.Cast<string>()) all.Add(file, name);
        return all;
    }

    private static readonly string[] Files = ["docker-compose.yml", "deploy/compose.embedded.yml"];

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_IsSealedAndWatched(string file, string name)
    {
        var service = (Map)Load(file).Services[name];

        Assert.Equal("true", service["read_only"]);
        Assert.DoesNotMatch("^(0|root)(:|$)", (string)service["user"]);
        Assert.Equal(["ALL"], Texts(service, "cap_drop"));
        Assert.Equal(["no-new-privileges:true"], Texts(service, "security_opt"));
        Assert.Equal("unless-stopped", service["restart"]);
        Assert.Contains("/tmp", Texts(service, "tmpfs"));
        Assert.Equal("CMD", Texts((Map)service["healthcheck"], "test")[0]);
        Assert.All(["interval", "timeout", "start_period", "retries"], key => Assert.True(((Map)service["healthcheck"]).ContainsKey(key), key));
        Assert.False(service.ContainsKey("privileged") || service.ContainsKey("network_mode") || service.ContainsKey("pid"));
    }

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_IsReachedFromThisMachineAlone(string file, string name) =>
        Assert.All(Texts((Map)Load(file).Services[name], "ports"), port => Assert.Matches(@"^127\.0\.0\.1:\d+:\d+$", port));

    [Theory]
    [MemberData(nameof(Services))]
    public void Service_WritesToDeclaredVolumesAndHoldsNoPassword(string file, string name)
    {
        var (services, volumes) = Load(file);
        var service = (Map)services[name];

        Assert.All(Texts(service, "volumes"), volume => Assert.Contains(volume.Split(':')[0], volumes));
        Assert.All(
            service.TryGetValue("environment", out var all) ? ((Map)all).Values.Cast<string>() : [],
            value => Assert.DoesNotMatch(@"(Password=|://\w+:)(?!\$\{)", value));
    }

    [Fact]
    public void Topology_HasTwoOfEachRoleThatWaitForWhatTheyNeed()
    {
        var services = Load("docker-compose.yml").Services;

        Assert.Equal(["api-1", "api-2", "postgres", "rabbitmq", "worker-1", "worker-2"], services.Keys.Cast<string>().Order());
        Assert.All(["api-1", "api-2"], name => Assert.Equal(("api,pages", "postgres"), Role(name)));
        Assert.All(["worker-1", "worker-2"], name => Assert.Equal(("worker", "postgres rabbitmq"), Role(name)));
        // No port twice: each node has its own.
        var ports = services.Values.Cast<Map>().SelectMany(service => Texts(service, "ports")).Select(port => port.Split(':')[1]).ToList();
        Assert.Equal(ports.Distinct(), ports);

        (string Role, string Needs) Role(string name)
        {
            var needs = (Map)((Map)services[name])["depends_on"];
            Assert.All(needs.Values, need => Assert.Equal("service_healthy", ((Map)need)["condition"]));
            return ((string)((Map)((Map)services[name])["environment"])["Node__Roles"], string.Join(' ', needs.Keys.Cast<string>().Order()));
        }
    }

    private static (Map Services, IReadOnlyList<string> Volumes) Load(string file)
    {
        using var text = File.OpenText(Path.Combine(Repository.Root, file));
        var root = new DeserializerBuilder().Build().Deserialize<Map>(new MergingParser(new Parser(text)));
        return ((Map)root["services"], [.. ((Map)root["volumes"]).Keys.Cast<string>()]);
    }

    private static List<string> Texts(Map map, string key) => map.TryGetValue(key, out var list) ? [.. ((List<object>)list).Cast<string>()] : [];
}
