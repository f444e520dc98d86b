using System.Globalization;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Google.Api;
using Google.Protobuf;
using Pourwright.Testing;
using Pourwright.V1;
using Xunit.Abstractions;

namespace Pourwright.Faults.Garbage;

/// <summary>
/// Goal: whatever comes, a node answers with a word of its own, soon, and stays. Method: requests of every call but those that solve, each
/// spoilt by the random numbers of its own seed, one after the other with the owner's key or that of one site.
/// </summary>
/// <remarks>
/// `POURWRIGHT_GARBAGE_MESSAGES` says how many, `POURWRIGHT_GARBAGE_AT_ONCE` how many go out together. An error in the node's log fails the test too, but for the one that the framework writes of
/// bytes that are no message. A failure names its seed: one at once, the same messages before it lead there again.
/// </remarks>
[Collection(Alone.Name)]
public sealed partial class GarbageTests(ITestOutputHelper output)
{
    private const int MessagesDefault = 3000, MessagesBetweenSettling = 500, FewestMethods = 150, ShownMost = 40;

    /// <summary>As many bodies of JSON as messages, divided by this.</summary>
    private const int JsonShare = 10;

    /// <summary>A longer address is turned away before it is a request.</summary>
    private const int QueryMost = 1000;

    private const double GrowthMbMost = 50;

    /// <summary>What JSON may end with, as google.rpc.Code pairs them with the codes of <see cref="GarbageAnswer"/>.</summary>
    private static readonly HttpStatusCode[] Words =
    [
        HttpStatusCode.OK, HttpStatusCode.BadRequest, HttpStatusCode.Unauthorized, HttpStatusCode.Forbidden, HttpStatusCode.NotFound, HttpStatusCode.Conflict, HttpStatusCode.TooManyRequests,
    ];

    private static readonly int Messages = Setting("POURWRIGHT_GARBAGE_MESSAGES", MessagesDefault), AtOnce = Setting("POURWRIGHT_GARBAGE_AT_ONCE", 1);

    [Theory, EveryEngine]
    public async Task SpoiltMessages_OfEveryCall_AreAnsweredWithAWord(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StartAsync(store);
        using var ofNorth = harness.OpenChannel(await GarbageStudio.KeyOfNorthAsync(harness));
        Assert.True(AnyMethod.All.Count >= FewestMethods, $"{AnyMethod.All.Count} methods");
        var run = new GarbageRun(harness.Channel.CreateCallInvoker(), ofNorth.CreateCallInvoker());
        await run.WarmUpAsync();
        long? halfway = null;

        for (var seed = 0; seed < Messages; seed += MessagesBetweenSettling)
        {
            if (halfway is null && seed >= Messages / 2) halfway = await MemoryAsync(harness);
            else await harness.SettleAsync();
            await run.SendAsync(seed, Math.Min(MessagesBetweenSettling, Messages - seed), AtOnce);
        }

        var growthMb = Math.Max(0, await MemoryAsync(harness) - halfway!.Value) / 1e6;
        Assert.Equal(SampleStudio.Name, (await new StudioService.StudioServiceClient(harness.Channel).GetStudioAsync(new() { Name = SampleStudio.Name })).Name);
        foreach (var line in run.Wordless.Concat(run.Slow).Take(ShownMost)) output.WriteLine(line);
        // All of them are told, whichever is short.
        Assert.Multiple(
            () => Figures.AtLeast($"garbage_{engine}_messages", Messages, 1),
            () => Figures.AtLeast($"garbage_{engine}_accepted", run.Accepted, Messages / 50.0),
            () => Figures.AtMost($"garbage_{engine}_crashes", run.Crashes, 0),
            () => Figures.AtMost($"garbage_{engine}_answers_without_a_word", run.Wordless.Count, 0),
            () => Figures.AtMost($"garbage_{engine}_calls_over_1_s", run.Slow.Count, 0),
            () => Figures.AtMost($"garbage_{engine}_memory_growth_mb", growthMb, GrowthMbMost));
    }

    [Theory, EveryEngine]
    public async Task SpoiltJson_OfEveryRoute_IsAnsweredWithAWord(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StartAsync(store);
        using var http = harness.OpenHttp();
        AnyMethod[] methods = [.. AnyMethod.All.Where(method => method.IsUnary)];
        List<string> wordless = [];
        var bodies = Math.Max(1, Messages / JsonShare);

        for (var seed = 0; seed < bodies; seed++)
        {
            var random = new Random(seed);
            var method = methods[random.Next(methods.Length)];
            using var request = JsonOf(method, random);
            using var answer = await http.SendAsync(request);
            var text = await answer.Content.ReadAsStringAsync();
            var hasWord = Words.Contains(answer.StatusCode) && (answer.IsSuccessStatusCode || text.Contains("\"message\"", StringComparison.Ordinal));
            if (!hasWord) wordless.Add($"{seed} {request.Method} {request.RequestUri}: {answer.StatusCode} {text}");
        }

        foreach (var line in wordless.Take(ShownMost)) output.WriteLine(line);
        Figures.AtLeast($"garbage_{engine}_json_bodies", bodies, 1);
        Figures.AtMost($"garbage_{engine}_json_answers_without_a_word", wordless.Count, 0);
    }

    private static int Setting(string name, int otherwise) =>
        Environment.GetEnvironmentVariable(name) is { Length: > 0 } text ? int.Parse(text, CultureInfo.InvariantCulture) : otherwise;

    private static async Task<StudioHarness> StartAsync(TestStore store)
    {
        var harness = await StudioHarness.StartOnAsync(store);
        harness.ExpectErrorContaining("InvalidProtocolBufferException");
        await GarbageStudio.CreateAsync(harness);
        return harness;
    }

    /// <summary>What the process holds when all that was saved has had its effect, in bytes.</summary>
    private static async Task<long> MemoryAsync(StudioHarness harness)
    {
        await harness.SettleAsync();
        return GC.GetTotalMemory(forceFullCollection: true);
    }

    /// <summary>The path leads somewhere, so that a handler is reached; body and query are spoilt.</summary>
    private static HttpRequestMessage JsonOf(AnyMethod method, Random random)
    {
        var message = SeedMessages.Of(method.Descriptor, random);
        var rule = method.Descriptor.GetOptions().GetExtension(AnnotationsExtensions.Http);
        var (verb, template) = rule.PatternCase switch
        {
            HttpRule.PatternOneofCase.Get => (HttpMethod.Get, rule.Get),
            HttpRule.PatternOneofCase.Patch => (HttpMethod.Patch, rule.Patch),
            HttpRule.PatternOneofCase.Delete => (HttpMethod.Delete, rule.Delete),
            _ => (HttpMethod.Post, rule.Post),
        };
        var path = PathField().Replace(template, match => (string)ValueAt(message, match.Groups[1].Value));
        if (rule.Body.Length == 0) return new(verb, $"{path}?page_size={Query(Mutations.OfJson("10", random))}");
        var json = JsonFormatter.Default.Format(rule.Body == "*" ? message : (IMessage)ValueAt(message, rule.Body));
        return new(verb, path) { Content = new ByteArrayContent(Mutations.OfJson(json, random)) { Headers = { ContentType = new("application/json") } } };
    }

    private static string Query(byte[] bytes) => Uri.EscapeDataString(Encoding.Latin1.GetString(bytes)[..Math.Min(bytes.Length, QueryMost)]);

    private static object ValueAt(IMessage message, string path) =>
        path.Split('.').Aggregate((object)message, (value, field) => ((IMessage)value).Descriptor.FindFieldByName(field).Accessor.GetValue((IMessage)value));

    [GeneratedRegex(@"\{([a-z_.]+)=[^}]*\}")]
    private static partial Regex PathField();
}
