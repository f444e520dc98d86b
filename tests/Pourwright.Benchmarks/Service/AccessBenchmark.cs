using Grpc.AspNetCore.Server;
using Grpc.Core;
using Grpc.Core.Interceptors;
using Grpc.Net.Client;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Access;
using Pourwright.Studio.Audit;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>Whether the time of a refusal tells a name that exists from one that does not, and what access and the audit cost.</summary>
/// <remarks>
/// Calls of one client, one after the other, in an order that is shuffled by a seed, so that a machine that drifts or is busy does so to both
/// alike. Of a studio's name both halves are known to whoever writes it; what must not show is whether anything stands behind the rest.
/// </remarks>
internal static class AccessBenchmark
{
    private const int CallsDefault = 10_000, WarmUp = 1000, MixClients = 64, Rounds = 5, Seed = 1;

    private const double LeastP = 0.01;

    /// <summary>Common practice, no source: a check of who calls costs less than half of the shortest read, an entry less than half of the shortest write.</summary>
    private const double CostMost = 1.5;

    public static async Task<int> RunAsync(string[] options)
    {
        var calls = Option.Of(options, "--calls", CallsDefault);
        return Figure.Report([.. await RefusalsAsync(calls), await ReadAsync(calls), await MixAsync(Option.Of(options, "--seconds", 1))]);
    }

    private static async Task<Figure[]> RefusalsAsync(int calls)
    {
        await using var node = await StudioHarness.StartAsync();
        await SampleStudio.CreateAsync(node);
        await CreateBirchAsync(node.Channel);
        await CreatePieceAsync(node.Channel, SampleStudio.Name, SampleStudio.South, "south-1");
        return
        [
            .. await CompareAsync(node, calls, "other_studio", Role.Owner, [], "studios/birch/pieces/east-1", "studios/birch/pieces/east-2"),
            .. await CompareAsync(node, calls, "other_site", Role.Lead, [SampleStudio.North], $"{SampleStudio.Name}/pieces/south-1", $"{SampleStudio.Name}/pieces/south-2"),
        ];
    }

    private static async Task<Figure[]> CompareAsync(StudioHarness node, int calls, string what, Role role, string[] sites, string foreign, string missing)
    {
        using var channel = node.OpenChannel(await KeyAsync(node.Channel, role, sites));
        var pieces = new PieceService.PieceServiceClient(channel);
        var (ofForeign, ofMissing) = await InTurnAsync(calls, () => RefusedAsync(pieces, foreign), () => RefusedAsync(pieces, missing));
        Figure.Print($"{what}: {1000 * Median(ofForeign):0.0} us a foreign name, {1000 * Median(ofMissing):0.0} us a missing one, {calls} calls each");
        return
        [
            Figure.AtLeast($"access_{what}_foreign_or_missing_p", RankTest.TwoSidedP(ofForeign, ofMissing), LeastP),
            Figure.AtMost($"access_{what}_foreign_over_missing", Median(ofForeign) / Median(ofMissing), 1.05) with { Fails = false },
        ];
    }

    /// <summary>The same read by key on a node, and without a key on one that asks nobody.</summary>
    private static async Task<Figure> ReadAsync(int calls)
    {
        await using var node = await StartAsync(null);
        await using var open = await StartAsync(typeof(AccessInterceptor));
        using var keyless = open.OpenChannel(null);
        LotService.LotServiceClient asked = new(node.Channel), unasked = new(keyless);
        var (keyed, free) = await InTurnAsync(calls, () => asked.GetContainerAsync(new() { Name = Mixes.Can }).ResponseAsync, () => unasked.GetContainerAsync(new() { Name = Mixes.Can }).ResponseAsync);
        Figure.Print($"a read: {1000 * Median(keyed):0.0} us with its key, {1000 * Median(free):0.0} us where nobody is asked");
        return Figure.AtMost("access_read_with_key_over_unasked", Median(keyed) / Median(free), CostMost);
    }

    /// <summary>Mixes of 64 clients on a node, and on one that enters nothing; a round of the one beside a round of the other.</summary>
    private static async Task<Figure> MixAsync(double seconds)
    {
        await using var node = await StartAsync(null);
        await using var silent = await StartAsync(typeof(AuditInterceptor));
        List<double> ratios = [];
        for (var round = 0; round <= Rounds; round++)
        {
            var told = await Load.MeasureAsync(MixClients, seconds, () => Mixes.RecordAsync(node.Channel));
            var untold = await Load.MeasureAsync(MixClients, seconds, () => Mixes.RecordAsync(silent.Channel));
            Figure.Print($"mixes by {MixClients} clients: {told.PerSecond:0}/s with their entries, {untold.PerSecond:0}/s without");
            if (round > 0) ratios.Add(untold.PerSecond / told.PerSecond);
        }
        return Figure.AtMost("access_mix_with_entry_over_without", Median([.. ratios]), CostMost);
    }

    /// <summary>Milliseconds of each call; the first ones are for code that is not compiled yet.</summary>
    private static async Task<(double[] First, double[] Second)> InTurnAsync(int calls, Func<Task> first, Func<Task> second)
    {
        for (var i = 0; i < WarmUp; i++)
        {
            await first();
            await second();
        }
        var order = Enumerable.Range(0, 2 * calls).Select(i => i % 2 == 0).ToArray();
        new Random(Seed).Shuffle(order);
        List<double> ofFirst = [], ofSecond = [];
        foreach (var isFirst in order) (isFirst ? ofFirst : ofSecond).AddRange(await Load.RepeatAsync(1, isFirst ? first : second));
        return ([.. ofFirst], [.. ofSecond]);
    }

    private static async Task RefusedAsync(PieceService.PieceServiceClient pieces, string name)
    {
        try
        {
            await pieces.GetPieceAsync(new() { Name = name });
            throw new InvalidOperationException($"{name} was answered.");
        }
        catch (RpcException refusal) when (refusal.StatusCode == StatusCode.NotFound)
        {
        }
    }

    /// <param name="without">What stands around every call, and is left out.</param>
    private static async Task<StudioHarness> StartAsync(Type? without)
    {
        var node = await StudioHarness.StartAsync(services => services.Configure<GrpcServiceOptions>(grpc =>
        {
            foreach (var around in grpc.Interceptors.Where(around => around.Type == without).ToArray()) grpc.Interceptors.Remove(around);
        }));
        await Mixes.CreateAsync(node.Channel);
        return node;
    }

    private static async Task CreateBirchAsync(GrpcChannel channel)
    {
        await new StudioService.StudioServiceClient(channel).CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
        await new SiteService.SiteServiceClient(channel).CreateSiteAsync(new() { Parent = "studios/birch", SiteId = "east", Site = new() { DisplayName = "East", TimeZone = "Europe/Lisbon" } });
        await CreatePieceAsync(channel, "studios/birch", "studios/birch/sites/east", "east-1");
    }

    private static async Task CreatePieceAsync(GrpcChannel channel, string studio, string site, string id) =>
        await new PieceService.PieceServiceClient(channel).CreatePieceAsync(new() { Parent = studio, PieceId = id, Piece = new() { Site = site, Label = id } });

    private static async Task<string> KeyAsync(GrpcChannel channel, Role role, string[] sites) => (await new V1.AccessService.AccessServiceClient(channel).CreateAccessKeyAsync(
        new() { Parent = SampleStudio.Name, AccessKey = new() { DisplayName = "Ana", Role = role, Sites = { sites } } })).Secret;

    private static double Median(double[] values) => values.Order().ElementAt(values.Length / 2);
}
