using Google.Protobuf;
using Grpc.Core;
using Pourwright.Studio.Access;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Access;

/// <summary>Every call, with every kind of key, about things of the own site, of another site, of another studio and of none.</summary>
/// <remarks>What is expected stands in Reference/who_may_call_what.txt, written by people and read by nothing else; the node goes by its own table.</remarks>
public sealed class AccessMatrixTests : IAsyncLifetime
{
    /// <summary>A refused name is answered some milliseconds late; of more plans than this the queue would be full.</summary>
    private const int AtOnce = 6;

    private static readonly Dictionary<string, (Role From, string Reach)> Expected = File.ReadLines(Path.Combine(AppContext.BaseDirectory, "Reference", "who_may_call_what.txt"))
        .Where(line => line.Length > 0 && line[0] != '#').Select(line => line.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        .ToDictionary(words => $"/pourwright.v1.{words[0]}", words => (Enum.Parse<Role>(words[1], ignoreCase: true), words[2]));

    private static readonly string[] Keys =
    [
        .. AccessStudio.Roles.SelectMany(role => ((string[])["north", "both", "alder", "birch"]).Select(place => $"{role} of {place}".ToLowerInvariant())),
        "student of north", "none", "expired", "revoked", "node",
    ];

    private AccessStudio _studio = null!;

    public async Task InitializeAsync() => _studio = await AccessStudio.StartAsync(stops: true);

    public async Task DisposeAsync() => await _studio.DisposeAsync();

    [Fact]
    public void EveryCall_IsExpected() => Assert.Equal(AnyCall.All.Select(call => call.Path), Expected.Keys.Order(StringComparer.Ordinal));

    [Fact]
    public async Task EveryCall_WithEveryKey_IsAnsweredAsExpected()
    {
        var count = 0;
        foreach (var call in AnyCall.All)
        {
            var (rows, leak) = await TryAsync(call);
            Assert.True(leak is null, leak);
            count += rows;
        }
        Assert.True(count > 10_000, $"{count} rows");
    }

    /// <summary>Each call's line without its role, without its reach, and not asked at all: 100 % must be noticed.</summary>
    [Fact]
    public async Task EachLine_WeakenedInTurn_IsNoticed()
    {
        List<string> unnoticed = [];
        var mutants = 0;
        foreach (var call in AnyCall.All)
        {
            var policy = Policies.All[call.Path];
            foreach (var weaker in WeakerThan(policy))
            {
                mutants++;
                _studio.Policies[call.Path] = weaker;
                if ((await TryAsync(call)).Leak is null) unnoticed.Add($"{weaker}");
            }
            _studio.Policies[call.Path] = policy;
        }
        Assert.Empty(unnoticed);
        Assert.True(mutants > 250, $"{mutants} mutants");
    }

    /// <summary>A key of the node is always an owner's, so that its role alone keeps nobody out.</summary>
    private static IEnumerable<Policy> WeakerThan(Policy policy) =>
        ((Policy[])[policy.Reach == Reach.Node ? policy : policy with { From = Role.Device }, policy with { Reach = Reach.Site }, policy with { Reach = Reach.Anyone }])
        .Where(weaker => weaker != policy);

    /// <summary>Each kind of thing of which the node would no longer ask where it is.</summary>
    [Fact]
    public async Task EachQuestionOfAPlace_LeftOutInTurn_IsNoticed()
    {
        foreach (var (collection, question) in ThingSites.Questions)
        {
            _studio.Questions.Remove(collection);
            var noticed = false;
            foreach (var call in AnyCall.All.Where(_ => !noticed)) noticed = (await TryAsync(call)).Leak is not null;
            _studio.Questions[collection] = question;
            Assert.True(noticed, collection);
        }
    }

    /// <summary>How many rows were as expected, and the first that was not.</summary>
    private async Task<(int Rows, string? Leak)> TryAsync(AnyCall call)
    {
        var rows = 0;
        foreach (var request in Requests(call))
            foreach (var keys in Keys.Chunk(AtOnce))
            {
                var answers = await Task.WhenAll(keys.Select(async key => (key, Said((await call.SendAsync(_studio.With(key), request)).Refusal))));
                foreach (var (key, said) in answers)
                {
                    rows++;
                    var expected = Expect(call.Path, key, $"{request}");
                    if (said != expected) return (rows, $"{call.Path} with the key {key}: {said}, expected {expected}.\n{request}");
                }
            }
        return (rows, null);
    }

    /// <summary>All of one site, all of another, all of another studio; then each name in turn of another site or studio among own ones.</summary>
    private static IEnumerable<IMessage> Requests(AnyCall call)
    {
        foreach (var site in (string[])[AccessStudio.North, AccessStudio.South, AccessStudio.East]) yield return call.Request(_ => site);
        if (call.NameFields.Count < 2) yield break;
        foreach (var field in call.NameFields)
            foreach (var site in (string[])[AccessStudio.South, AccessStudio.East])
                yield return call.Request(path => path == field ? site : AccessStudio.North);
    }

    private static string Expect(string path, string key, string request)
    {
        if (key is "none" or "expired" or "revoked") return nameof(StatusCode.Unauthenticated);
        var (from, reach) = Expected[path];
        var isStudent = key.StartsWith("student", StringComparison.Ordinal);
        if (isStudent || from == Role.Student) return isStudent && from == Role.Student ? AccessStudio.Admitted : nameof(StatusCode.PermissionDenied);
        if (key == "node") return AccessStudio.Admitted;
        var (role, place) = (Enum.Parse<Role>(key.Split(' ')[0], ignoreCase: true), key.Split(' ')[2]);
        if (role < from || reach == "node" || (reach == "studio" && (place is "north" or "both"))) return nameof(StatusCode.PermissionDenied);
        bool Names(string word) => request.Contains(word, StringComparison.Ordinal);
        return Names(place == "birch" ? "studios/alder" : "studios/birch") || (place == "north" && Names("south")) ? nameof(StatusCode.NotFound) : AccessStudio.Admitted;
    }

    private static string Said(RpcException? refusal) => refusal is { StatusCode: StatusCode.Aborted } ? refusal.Status.Detail : $"{refusal?.StatusCode}";
}
