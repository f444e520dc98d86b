using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Journeys.Topology;

/// <summary>
/// Goal: two api nodes and two workers on one database and one broker lose nothing and tell nobody twice, whichever part is away.
/// Method: everything runs as processes of its own. Pours are so deep that they will run away, so that a safety notice is due at
/// once, at night too; notices are counted in the records, and posted to a receiver that counts ids.
/// </summary>
public sealed class TopologyTests(LocalTopology topology) : IClassFixture<LocalTopology>
{
    /// <summary>Parts that are exactly 2 : 1 by volume at 1150 and 960 kg/m3: 1150 / 1150 = 1 and 480 / 960 = 0.5.</summary>
    private const long AMassMg = 1150, BMassMg = 480;

    /// <summary>Deliveries that a worker claims at a time, <see cref="Studio.Reminders.Channels.DeliveryOptions.BatchMax"/>.</summary>
    private const int ClaimedMost = 32;

    private const int ReminderCount = 150;

    private readonly List<string> _pieces = [];

    internal static readonly string[] Api = ["api-1", "api-2"], Workers = ["worker-1", "worker-2"];

    [TopologyFact]
    public async Task Pours_ThroughEitherNode_BrokerAwayAndWorkerKilled_AreAllToldOfOnce()
    {
        await SampleStudio.CreateAsync(topology.Apis[0]);
        await SampleStudio.ReceiveAsync(topology.Apis[1], SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", 1_000_000);
        await SampleStudio.ReceiveAsync(topology.Apis[0], SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", 1_000_000);

        await PourAsync(4);
        await AllToldAsync();

        await topology.DoAsync("stop", "broker");
        Assert.Equal("bus: Degraded\nstore: Healthy\n", await topology.ReadyAsync("worker-1", said => !said.StartsWith("bus: Healthy", StringComparison.Ordinal)));
        await PourAsync(4);
        foreach (var api in Api) Assert.Equal("store: Healthy\n", await topology.ReadyAsync(api, _ => true));
        Assert.NotEmpty(await topology.QueryAsync<string>("SELECT message_id FROM outbox WHERE published_ms IS NULL"));
        await topology.DoAsync("start", "broker");
        await AllToldAsync();

        await PourAsync(8);
        await LocalTopology.UntilAsync(
            async () => (await topology.QueryAsync<string>("SELECT message_id FROM outbox WHERE published_ms IS NOT NULL AND finished_ms IS NULL")).Count > 0
                || (await UnfinishedAsync()) == 0, () => "nothing was in hand");
        await topology.DoAsync("kill", "worker-1");
        await AllToldAsync();
        await topology.DoAsync("start", "worker-1");

        Assert.Equal(16, _pieces.Distinct().Count());
        Assert.Equal(_pieces.Order(), (await topology.QueryAsync<string>("SELECT subject FROM reminders WHERE kind = 8 AND state = 2 AND studio = 'studios/alder'")).Order());
        // 1 kg - 16 x 1150 mg of A.
        var can = await new LotService.LotServiceClient(topology.Apis[1]).GetContainerAsync(new() { Name = "studios/alder/containers/coat-a-can" });
        Assert.Equal(1_000_000 - 16 * AMassMg, can.RemainingMassMg);
    }

    [TopologyFact]
    public async Task DueReminders_SharedByTwoWorkers_OneKilledMidSweep_AreEachSentOnce()
    {
        foreach (var worker in Workers) await topology.ReadyAsync(worker, said => said.StartsWith("bus: Healthy", StringComparison.Ordinal));
        await CreateBirchAsync();

        await InsertDueAsync("first");
        await ArriveAsync(ReminderCount);
        // Nobody was killed: claimed once, posted once.
        Assert.Equal(ReminderCount, topology.Sink.Posts.Count);

        topology.Sink.HoldAfter(50);
        await InsertDueAsync("second");
        await topology.Sink.Held;
        var sweeping = await SweepingWorkerAsync();
        await topology.DoAsync("kill", sweeping);
        topology.Sink.Open();
        await ArriveAsync(2 * ReminderCount);
        await LocalTopology.UntilAsync(async () => (await topology.QueryAsync<string>("SELECT reminder FROM deliveries WHERE delivered_ms IS NULL")).Count == 0, () => "deliveries are left");
        await topology.DoAsync("start", sweeping);

        // Sent once, whoever was killed: each has its own place in the order of sending. What the killed one had posted without
        // an answer comes again under the same id, and nothing else does.
        Assert.Equal(2 * ReminderCount, (await topology.QueryAsync<long>("SELECT DISTINCT send_sequence FROM reminders WHERE studio = 'studios/birch' AND state = 2")).Count);
        Assert.InRange(topology.Sink.Posts.Count - 2 * ReminderCount, 0, ClaimedMost);
    }

    /// <summary>Which worker runs the sweep that delivers; the scheduler names a worker after its machine, its process and a random tail.</summary>
    private async Task<string> SweepingWorkerAsync()
    {
        IReadOnlyList<string> running = [];
        await LocalTopology.UntilAsync(async () => (running = await topology.QueryAsync<string>(
            "SELECT instance_name FROM sweeps.qrtz_fired_triggers WHERE job_name = 'DeliverReminders' AND state = 'EXECUTING'")).Count > 0, () => "no sweep runs");
        var process = Assert.Single(running).Split('-')[^2];
        return Workers.Single(worker => $"{topology.ProcessId(worker)}" == process);
    }

    private Task ArriveAsync(int count) => LocalTopology.UntilAsync(
        () => Task.FromResult(topology.Sink.Posts.Distinct().Count() == count), () => $"{topology.Sink.Posts.Distinct().Count()} of {count} came");

    private async Task CreateBirchAsync()
    {
        await new StudioService.StudioServiceClient(topology.Apis[0]).CreateStudioAsync(new() { StudioId = "birch", Studio = new() { DisplayName = "Birch" } });
        await new SiteService.SiteServiceClient(topology.Apis[1]).CreateSiteAsync(new()
        {
            Parent = "studios/birch",
            SiteId = "shed",
            Site = new()
            {
                DisplayName = "Shed",
                TimeZone = "Europe/Lisbon",
                Contacts = { new Contact { Role = Contact.Types.Role.Owner, DisplayName = "Bo", WebhookUri = $"http://127.0.0.1:{topology.Sink.Port}/" } },
            },
        });
    }

    /// <summary>Safety notices to the owner, due now: quiet hours do not hold them back.</summary>
    private Task<IReadOnlyList<long>> InsertDueAsync(string round) => topology.QueryAsync<long>(
        $"""
        INSERT INTO reminders (name, studio, site, kind, state, subject, decision, text, recipient_role, safety, remind_ms)
        SELECT 'studios/birch/reminders/{round}-' || n, 'studios/birch', 'studios/birch/sites/shed', 8, 1, 'studios/birch/pieces/{round}-' || n,
               '{round}-' || n, 'Look after it.', 1, 1, 0
          FROM generate_series(1, {ReminderCount}) AS n
        RETURNING sequence
        """);

    private async Task PourAsync(int count)
    {
        for (var i = 0; i < count; i++) _pieces.Add(await PourAsync(topology.Apis[i % 2], topology.Apis[(i + 1) % 2], $"piece-{_pieces.Count}"));
    }

    /// <summary>Mixed through one node, poured through the other.</summary>
    private static async Task<string> PourAsync(GrpcChannel first, GrpcChannel second, string id)
    {
        var mix = await new MixService.MixServiceClient(first).RecordMixAsync(new() { Parent = SampleStudio.Name, Mix = NewMix() });
        var piece = await new PieceService.PieceServiceClient(second).CreatePieceAsync(
            new() { Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id } });
        await new PieceService.PieceServiceClient(second).RecordPourAsync(new()
        {
            Parent = piece.Name,
            Pour = new() { Mix = mix.Name, Bench = SampleStudio.NorthBench, MassMg = 1000, DepthMm = 40, Pourer = "Ivo" },
        });
        return piece.Name;
    }

    /// <summary>Every pour has had its effect, and its notice is out.</summary>
    private Task AllToldAsync() => LocalTopology.UntilAsync(
        async () => await UnfinishedAsync() == 0
            && (await topology.QueryAsync<string>("SELECT subject FROM reminders WHERE kind = 8 AND state = 2 AND studio = 'studios/alder'")).Count >= _pieces.Count,
        () => $"of {_pieces.Count} pieces some are not told of");

    private async Task<long> UnfinishedAsync() => (await topology.QueryAsync<long>("SELECT count(*) FROM outbox WHERE finished_ms IS NULL"))[0];

    private static Mix NewMix() => new()
    {
        Site = SampleStudio.North,
        ResinSystem = SampleStudio.Coat,
        Mixer = "Ivo",
        Draws =
        {
            new Mix.Types.Draw { Container = "studios/alder/containers/coat-a-can", MassMg = AMassMg },
            new Mix.Types.Draw { Container = "studios/alder/containers/coat-b-can", MassMg = BMassMg },
        },
    };
}

/// <summary>Needs the servers of Debian's packages, which tests/run.sh installs.</summary>
internal sealed class TopologyFactAttribute : FactAttribute
{
    public TopologyFactAttribute()
    {
        if (!File.Exists("/usr/lib/rabbitmq/bin/rabbitmq-server") || !Directory.Exists("/usr/lib/postgresql"))
            Skip = "Needs Debian's packages postgresql and rabbitmq-server; tests/run.sh installs them.";
    }
}
