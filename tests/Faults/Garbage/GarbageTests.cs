using System.Globalization;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using Google.Api;
using Google.Protobuf;
using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using Xunit.Abstractions;

namespace Pourwright.Faults.Garbage;

/// <summary>
/// Goal: whatever comes, a node answers with a word of its own, soon, and stays. Method: requests of every call but those that solve, each
/// spoilt by the random numbers of its own seed, one after the other with the owner's key or that of one site.
/// </summary>
/// <remarks>
/// `POURWRIGHT_GARBAGE_MESSAGES` says how many. An error in the node's log fails the test too, but for the one that the framework writes of
/// bytes that are no message. A failure names its seed: the same messages before it lead there again.
/// </remarks>
[Collection(Alone.Name)]
public sealed partial class GarbageTests(ITestOutputHelper output)
{
    private const int MessagesDefault = 3000, MessagesBetweenSettling = 1000, FewestMethods = 150, ShownMost = 40;

    /// <summary>The others come with the key of the node's owner, for whom no name is looked at before the handler.</summary>
    private const int KeyOfNorthOneIn = 4;

    /// <summary>As many bodies of JSON as messages, divided by this.</summary>
    private const int JsonShare = 10;

    /// <summary>A longer address is turned away before it is a request.</summary>
    private const int QueryMost = 1000;

    private const double SlowSeconds = 1, GrowthMbMost = 50;

    private const int SlowTries = 5;

    /// <summary>Programs that may wait for each core while this runs, before a call that only waits is called slow.</summary>
    private const double BusyMost = 20;

    /// <summary>What JSON may end with, as google.rpc.Code pairs them with the codes of <see cref="GarbageAnswer"/>.</summary>
    private static readonly HttpStatusCode[] Words =
    [
        HttpStatusCode.OK, HttpStatusCode.BadRequest, HttpStatusCode.Unauthorized, HttpStatusCode.Forbidden, HttpStatusCode.NotFound, HttpStatusCode.Conflict, HttpStatusCode.TooManyRequests,
    ];

    private static readonly int Messages = int.Parse(Environment.GetEnvironmentVariable("POURWRIGHT_GARBAGE_MESSAGES") ?? $"{MessagesDefault}", CultureInfo.InvariantCulture);

    [Theory, EveryEngine]
    public async Task SpoiltMessages_OfEveryCall_AreAnsweredWithAWord(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StartAsync(store);
        var calls = harness.Channel.CreateCallInvoker();
        using var ofNorth = harness.OpenChannel(await GarbageStudio.KeyOfNorthAsync(harness));
        var callsOfNorth = ofNorth.CreateCallInvoker();
        var methods = AnyMethod.All;
        Assert.True(methods.Count >= FewestMethods, $"{methods.Count} methods");
        // Fonts, solver and code are loaded when they are first used, which is nobody's garbage.
        for (var seed = 0; seed < methods.Count; seed++) await methods[seed].SendAsync(calls, SeedMessages.Of(methods[seed].Descriptor, new(seed)).ToByteArray());
        List<string> wordless = [], slow = [];
        var (crashes, accepted, halfway) = (0, 0, 0L);

        for (var seed = 0; seed < Messages; seed++)
        {
            if (seed == Messages / 2) halfway = await MemoryAsync(harness);
            else if (seed % MessagesBetweenSettling == 0) await harness.SettleAsync();
            var random = new Random(seed);
            var method = methods[random.Next(methods.Count)];
            var message = Mutations.Of(SeedMessages.Of(method.Descriptor, random), random);
            var answer = await method.SendAsync(random.Next(KeyOfNorthOneIn) == 0 ? callsOfNorth : calls, message);
            if (answer.Code == StatusCode.OK) accepted++;
            if (answer.IsCrash) crashes++;
            if (!answer.HasWord) wordless.Add($"{seed} {method.Path}: {answer.Code} {answer.Reason} {answer.Text}");
            if (method.IsUnary && answer.Took.TotalSeconds > SlowSeconds && await LeastSecondsAsync(method, calls, message) is > SlowSeconds and var seconds)
                slow.Add($"{seed} {method.Path}: {answer.Code} after {seconds:0.0} s");
        }

        var growthMb = Math.Max(0, await MemoryAsync(harness) - halfway) / 1e6;
        Assert.Equal(SampleStudio.Name, (await new StudioService.StudioServiceClient(harness.Channel).GetStudioAsync(new() { Name = SampleStudio.Name })).Name);
        foreach (var line in wordless.Concat(slow).Take(ShownMost)) output.WriteLine(line);
        Figures.AtLeast($"garbage_{engine}_messages", Messages, 1);
        Figures.AtLeast($"garbage_{engine}_accepted", accepted, Messages / 50.0);
        Figures.AtMost($"garbage_{engine}_crashes", crashes, 0);
        Figures.AtMost($"garbage_{engine}_answers_without_a_word", wordless.Count, 0);
        Figures.AtMost($"garbage_{engine}_calls_over_1_s", slow.Count, 0);
        Figures.AtMost($"garbage_{engine}_memory_growth_mb", growthMb, GrowthMbMost);
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

    /// <summary>Seconds that a call takes by itself: of the processor, or waited though nobody else was at work. The least of a few tries.</summary>
    private static async Task<double> LeastSecondsAsync(AnyMethod method, CallInvoker calls, byte[] message)
    {
        var least = double.PositiveInfinity;
        for (var again = 0; again < SlowTries && least > SlowSeconds; again++)
        {
            var before = Environment.CpuUsage.TotalTime;
            var waited = (await method.SendAsync(calls, message)).Took;
            least = Math.Min(least, Math.Max((Environment.CpuUsage.TotalTime - before).TotalSeconds, waited.TotalSeconds / BusyMost));
        }
        return least;
    }

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
