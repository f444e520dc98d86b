using System.Security.Cryptography;
using System.Text;
using Google.Protobuf.WellKnownTypes;
using Pourwright.Faults.Requests;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Seals;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Simulation;

/// <summary>
/// Days of a studio, drawn from a seed: people mix, pour, measure, acknowledge and hand over through two nodes or one, which are struck
/// meanwhile; then the faults end, everything comes to rest, and its promises are looked at.
/// </summary>
internal sealed class StudioDays
{
    /// <summary>One more is refused: the bench is taken. One piece a bench also keeps the forecasts of a sweep in one order.</summary>
    private static readonly string[] Benches = [SampleStudio.SouthBench, StudioTemplate.NorthTable, StudioTemplate.SouthTable];

    /// <summary>How long after it was first sent a call is sent again: less than answers are remembered.</summary>
    private static readonly TimeSpan Repeated = TimeSpan.FromDays(5);

    private static readonly System.Type[] Sweeps =
    [
        typeof(DueReminders), typeof(DeliverReminders), typeof(EscalateReminders), typeof(TouchedBenches), typeof(ReopenStuckMessages),
        typeof(ForgetOldRows), typeof(SilentSensors), typeof(SealDaily),
    ];

    private readonly SimulatedWorld _world;
    private readonly List<SimulatedNode> _nodes;
    private readonly List<ClientCall> _calls = [];
    private readonly List<string> _pieces = [];
    private readonly List<(string What, int Weight, Func<SimulatedNode, Task<string>> Act)> _acts;
    private readonly StringBuilder _trace = new();
    private readonly int _acrossMinutes;
    private readonly bool _isClockSetBack;
    private int _mixCount;

    private StudioDays(int seed, int days, string file, PlantedBug bug)
    {
        _acrossMinutes = days * 24 * 60;
        _world = new(seed, StudioHarness.Start, bug) { Meanwhile = Interleave, IsStormy = true };
        _isClockSetBack = seed % 2 == 0;
        var isAlone = seed % 3 == 0;
        _nodes = [.. (isAlone ? (string[])["one"] : ["one", "two"]).Select(name => new SimulatedNode(_world, name, file, isAlone))];
        _acts =
        [
            ("mix", 12, node => NewCall(node, Mix())),
            ("pour", 4, node => _pieces.Count < Benches.Length ? PourAsync(node, Benches[_pieces.Count]) : Task.FromResult("no bench")),
            ("read", 5, node => NewCall(node, Readings(AnyOf([SampleStudio.NorthSensor, SampleStudio.SouthSensor])!, 22))),
            ("burst", 2, BurstAsync),
            ("repeat", 8, RepeatAsync),
            ("abuse", 2, AbuseAsync),
            ("acknowledge", 3, AcknowledgeAsync),
            ("scrap", 1, ScrapAsync),
            ("move", 2, MoveAsync),
            ("relay", 10, RelayAsync),
            ("consume", 16, ConsumeAsync),
            .. Sweeps.Select(sweep => (sweep.Name, 4, (Func<SimulatedNode, Task<string>>)(node => SweepAsync(node, sweep)))),
        ];
    }

    /// <summary>What happened, act by act: the same for the same seed.</summary>
    public string Trace => _trace.ToString();

    public string Digest => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Trace)))[..16];

    public int ActCount { get; private set; }

    /// <summary>Was the clock set back? Then what came later may look earlier.</summary>
    public bool WasSetBack { get; private set; }

    public SimulatedWorld World => _world;

    public IReadOnlyList<ClientCall> Calls => _calls;

    /// <summary>Plays a seed to its end.</summary>
    /// <exception cref="BrokenPromiseException">A promise is broken; the message says which, in which seed, and after what.</exception>
    public static async Task<StudioDays> PlayAsync(int seed, int days, PlantedBug bug)
    {
        using var template = await StudioTemplate.CopyAsync();
        var studio = new StudioDays(seed, days, template.Path, bug);
        try
        {
            await studio.PlayAsync();
            new Promises(studio, template.Path).Check();
            return studio;
        }
        catch (Exception e)
        {
            // Without faults nothing may fail: what does at rest is a broken promise as well.
            var last = string.Join('\n', studio.Trace.Split('\n').TakeLast(40));
            throw new BrokenPromiseException($"Seed {seed}, {days} days, {bug.Name}: {e.Message}\n{e.StackTrace}\nLast acts:\n{last}");
        }
    }

    private async Task PlayAsync()
    {
        foreach (var node in _nodes) await node.StartAsync();
        var end = _world.Clock.Now.AddMinutes(_acrossMinutes);
        while (_world.Clock.Now < end)
        {
            PassTime();
            if (_world.Random.Next(2) == 0) _world.Arm((Fault)_world.Random.Next(7), _world.Random.Next(1, 8));
            await ActAsync(AnyNode(), Draw());
            _world.Disarm();
            await ReviveAsync();
        }
        _world.IsStormy = false;
        await ComeToRestAsync();
        foreach (var node in _nodes) await node.EndAsync();
    }

    /// <summary>Mostly minutes; now and then a night in which the machine sleeps, or a clock that was wrong is set, by an hour or a day, in every other seed also back.</summary>
    private void PassTime()
    {
        var step = _world.Random.Next(60) switch
        {
            0 => TimeSpan.FromHours(1),
            1 => _isClockSetBack ? TimeSpan.FromHours(-1) : TimeSpan.Zero,
            2 => _world.Random.Next(8) == 0 ? TimeSpan.FromDays(1) : TimeSpan.FromHours(6),
            3 => _isClockSetBack && _world.Random.Next(8) == 0 ? TimeSpan.FromDays(-1) : TimeSpan.Zero,
            _ => TimeSpan.FromSeconds(_world.Random.Next(1, 1500)),
        };
        WasSetBack |= step < TimeSpan.Zero;
        _world.Clock.Now += step;
    }

    /// <summary>No faults any more: every call is answered, a last piece poured and its room cooled, and two days pass.</summary>
    private async Task ComeToRestAsync()
    {
        foreach (var call in _calls.Where(call => !call.IsSettled)) Note($"settle {call.What}", await call.SendAsync(_nodes[0]));
        Note("last mix", await NewCall(_nodes[0], Mix()));
        Note("last pour", await PourAsync(_nodes[0], SampleStudio.NorthBench));
        await CalmAsync(3, TimeSpan.FromMinutes(20));
        Note("last reading", await NewCall(_nodes[0], Readings(SampleStudio.NorthSensor, 14)));
        var readMs = _world.Clock.Now.ToUnixMs();
        await CalmAsync(2, TimeSpan.FromMinutes(20));
        if (LastReadingOf(_pieces[^1]) != readMs) throw new BrokenPromiseException("Not so: the forecast of the last piece follows its last reading.");
        await CalmAsync(24, TimeSpan.FromHours(2));
    }

    private long? LastReadingOf(string piece) => _nodes[0].Reads.Read(session => session.Scalar<long?>(
        "SELECT last_reading_ms FROM forecasts WHERE piece = @piece ORDER BY revision DESC LIMIT 1", new { piece }));

    private async Task CalmAsync(int rounds, TimeSpan step)
    {
        for (var round = 0; round < rounds; round++)
        {
            _world.Clock.Now += step;
            foreach (var node in _nodes)
            {
                foreach (var sweep in Sweeps) await ActAsync(node, (sweep.Name, 0, n => SweepAsync(n, sweep)));
                await ActAsync(node, ("relay", 0, RelayAsync));
                while (_world.Bus.Waiting.Count > 0) await ActAsync(node, ("consume", 0, ConsumeAsync));
            }
        }
    }

    private async Task ActAsync(SimulatedNode node, (string What, int Weight, Func<SimulatedNode, Task<string>> Act) act)
    {
        ActCount++;
        try
        {
            Note($"{act.What} on {node.Name}", await act.Act(node));
        }
        catch (Exception e) when (e is Refusal || e is not BrokenPromiseException && _world.HasStruck)
        {
            // The act failed with its fault, or was refused; what of it was kept shows in the end.
            Note($"{act.What} on {node.Name}", node.IsDead || node.IsEnding ? "died" : e.GetType().Name);
        }
    }

    /// <summary>The other node does something while this one is in the middle of something.</summary>
    private void Interleave(SimulatedNode busy)
    {
        if (_nodes.Find(node => node != busy && !node.IsDead && !node.IsEnding) is { } other) ActAsync(other, Draw()).GetAwaiter().GetResult();
    }

    private async Task ReviveAsync()
    {
        foreach (var node in _nodes.Where(node => node.IsDead || node.IsEnding))
        {
            await node.EndAsync();
            await node.StartAsync();
        }
    }

    private async Task<string> NewCall(SimulatedNode node, ClientCall call)
    {
        _calls.Add(call);
        return $"{call.What} {await call.SendAsync(node)}";
    }

    private ClientCall Mix(bool isBad = false)
    {
        var request = new RecordMixRequest
        {
            Parent = SampleStudio.Name, MixId = $"mix-{++_mixCount}", RequestId = NewRequestId(isBad),
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Coat, Mixer = "Ivo",
                Draws =
                {
                    new Mix.Types.Draw { Container = StudioTemplate.CanA, MassMg = 1150L * (1 + _mixCount % 5) },
                    new Mix.Types.Draw { Container = StudioTemplate.CanB, MassMg = 480L * (1 + _mixCount % 5) },
                },
            },
        };
        return Call(request.MixId, request, (node, sent) => node.Make<Studio.Mixes.MixService>().RecordMix(sent, new DirectCall()), other => other.Mix.Mixer = "Asa");
    }

    /// <summary>A new piece from the newest mix that was kept: shallow, or so deep that it will run away.</summary>
    private async Task<string> PourAsync(SimulatedNode node, string bench)
    {
        if (_calls.LastOrDefault(call => call.Answer is Mix) is not { Answer: Mix mix }) return "no mix";
        var id = $"piece-{_pieces.Count}";
        _pieces.Add($"{SampleStudio.Name}/pieces/{id}");
        var create = new CreatePieceRequest
        {
            Parent = SampleStudio.Name, PieceId = id, RequestId = NewRequestId(),
            Piece = new() { Site = bench[..bench.IndexOf("/benches", StringComparison.Ordinal)], Label = id },
        };
        var record = new RecordPourRequest
        {
            Parent = _pieces[^1], PourId = "pour", RequestId = NewRequestId(),
            Pour = new() { Mix = mix.Name, Bench = bench, MassMg = 400, DepthMm = _world.Random.Next(2) == 0 ? 4 : 40, Pourer = "Ivo" },
        };
        var creation = Call(id, create, (n, sent) => n.Make<Studio.Pieces.PieceService>().CreatePiece(sent, new DirectCall()), other => other.Piece.Label = "another");
        _calls.Add(creation);
        // Its client sends it after the piece, however often that takes.
        _calls.Add(Call($"pour of {id}", record, (n, sent) => n.Make<Studio.Pieces.PieceService>().RecordPour(sent, new DirectCall()), other => other.Pour.MassMg++));
        return $"{await creation.SendAsync(node)}, {await _calls[^1].SendAsync(node)}";
    }

    private ClientCall Readings(string sensor, double celsius)
    {
        var at = Timestamp.FromDateTimeOffset(_world.Clock.Now);
        var request = new RecordReadingsRequest
        {
            Parent = sensor[..sensor.IndexOf("/sensors", StringComparison.Ordinal)], RequestId = NewRequestId(),
            Readings = { new Reading { Sensor = sensor, ReadingTime = at, TemperatureCelsius = celsius + _world.Random.Next(-8, 5) } },
        };
        return Call("reading", request, (node, sent) => node.Make<Studio.Climate.ClimateService>().RecordReadings(sent, new DirectCall()), other => other.Readings[0].TemperatureCelsius++);
    }

    /// <summary>Four mixes in one commit; the store breaks one of them at its last statement.</summary>
    private async Task<string> BurstAsync(SimulatedNode node)
    {
        using var open = new ManualResetEventSlim();
        var entered = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var held = node.Writer.WriteAsync(_ =>
        {
            entered.SetResult();
            open.Wait();
        });
        await Task.WhenAny(entered.Task, held);
        List<ClientCall> calls = [.. Enumerable.Range(0, 4).Select(i => Mix(isBad: i == 2))];
        _calls.AddRange(calls.Where((_, i) => i != 2));
        List<Task<string>> sent = [.. calls.Select(call => call.SendAsync(node))];
        open.Set();
        foreach (Task task in (Task[])[held, .. sent]) await task.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (sent.FirstOrDefault(task => task.Exception?.InnerException is BrokenPromiseException) is { } broken) await broken;
        return string.Join(' ', sent.Select(task => task.IsCompletedSuccessfully ? task.Result : "failed"));
    }

    /// <summary>Sends again what had no answer, else anything of the last days.</summary>
    private Task<string> RepeatAsync(SimulatedNode node) =>
        (_calls.Find(call => !call.IsSettled) ?? AnyOf([.. Recent])) is { } call ? call.SendAsync(node) : Task.FromResult("nothing");

    private Task<string> AbuseAsync(SimulatedNode node) =>
        AnyOf([.. Recent.Where(call => call.Answer is not null)]) is { } call ? call.AbuseAsync(node) : Task.FromResult("nothing");

    private IEnumerable<ClientCall> Recent => _calls.Where(call => (_world.Clock.Now - call.Sent).Duration() < Repeated);

    private async Task<string> AcknowledgeAsync(SimulatedNode node)
    {
        var open = node.Reads.Read(session => session.Query<string>("SELECT name FROM reminders WHERE state = 2 ORDER BY sequence"));
        if (AnyOf(open) is not { } name) return "nothing";
        await node.Make<Studio.Reminders.ReminderService>().AcknowledgeReminder(new() { Name = name, Acknowledger = "Asa" }, new DirectCall());
        return "done";
    }

    private async Task<string> ScrapAsync(SimulatedNode node)
    {
        if (_world.Random.Next(4) != 0 || AnyOf(_pieces) is not { } piece) return "nothing";
        var request = new RecordStepRequest { Parent = piece, RequestId = NewRequestId(), Step = new() { Kind = Step.Types.Kind.Scrap, Worker = "Asa" } };
        return await NewCall(node, Call("scrap", request, (n, sent) => n.Make<Studio.Pieces.PieceService>().RecordStep(sent, new DirectCall()), other => other.Step.Worker = "Ivo"));
    }

    /// <summary>To where it stands: a step and a move are told of, one after the other.</summary>
    private async Task<string> MoveAsync(SimulatedNode node)
    {
        if (_pieces.Count == 0) return "nothing";
        var index = _world.Random.Next(_pieces.Count);
        var request = new RecordStepRequest { Parent = _pieces[index], RequestId = NewRequestId(), Step = new() { Kind = Step.Types.Kind.Move, Bench = Benches[index], Worker = "Asa" } };
        return await NewCall(node, Call("move", request, (n, sent) => n.Make<Studio.Pieces.PieceService>().RecordStep(sent, new DirectCall()), other => other.Step.Worker = "Ivo"));
    }

    private static async Task<string> RelayAsync(SimulatedNode node)
    {
        await node.RelayAsync();
        return "done";
    }

    /// <summary>Some message that waits, sometimes twice; one whose consumer fails is gone from the bus.</summary>
    private async Task<string> ConsumeAsync(SimulatedNode node)
    {
        if (_world.Bus.Waiting.Count == 0) return "nothing";
        var index = _world.Random.Next(_world.Bus.Waiting.Count);
        var message = _world.Bus.Waiting[index];
        if (_world.Random.Next(6) != 0) _world.Bus.Waiting.RemoveAt(index);
        await node.ConsumeAsync(message);
        return message.Body.GetType().Name;
    }

    private static async Task<string> SweepAsync(SimulatedNode node, System.Type sweep)
    {
        await node.Sweep(sweep).RunAsync(CancellationToken.None);
        return "done";
    }

    private ClientCall Call<TRequest, TAnswer>(string what, TRequest request, Func<SimulatedNode, TRequest, Task<TAnswer>> send, Action<TRequest> spoil)
        where TRequest : Google.Protobuf.IDeepCloneable<TRequest> where TAnswer : Google.Protobuf.IMessage => new(what, _world.Clock.Now, async (node, isSpoiled) =>
        {
            var sent = request.Clone();
            if (isSpoiled) spoil(sent);
            return await send(node, sent);
        });

    private (string, int, Func<SimulatedNode, Task<string>>) Draw()
    {
        var at = _world.Random.Next(_acts.Sum(act => act.Weight));
        return _acts.First(act => (at -= act.Weight) < 0);
    }

    private SimulatedNode AnyNode() => _nodes[_world.Random.Next(_nodes.Count)];

    private T? AnyOf<T>(IReadOnlyList<T> items) where T : class => items.Count == 0 ? null : items[_world.Random.Next(items.Count)];

    private string NewRequestId(bool isBad = false) => $"{(isBad ? StudioTemplate.PoisonPrefix : "10000000-0000-4000-8000-")}{_world.Random.NextInt64(1L << 48):x12}";

    private void Note(string act, string outcome) => _trace.Append(System.Globalization.CultureInfo.InvariantCulture, $"{_world.Clock.Now:MM-dd HH:mm:ss} {act}: {outcome}\n");
}
