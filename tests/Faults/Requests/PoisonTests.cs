using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Requests;

/// <summary>
/// Goal: of 64 calls in one commit a bad one fails alone. Method: the writer is held until all of them wait; the store itself breaks the
/// bad one, at its first statement or at its last, when its evidence and its draws are already written.
/// </summary>
public sealed class PoisonTests
{
    private const int BatchSize = 64;
    private const long ReceivedMassMg = 100_000_000, AMassMg = 1150, BMassMg = 480;
    private const string FirstId = "10000000-0000-4000-8000-000000000000", PoisonAtTheEnd = "bad00000-0000-4000-8000-";

    [Theory, EveryEngine]
    public async Task OneOf64_IsBad_OnlyItFails(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StudioHarness.StartOnAsync(store);
        harness.ExpectErrorContaining("poison");
        await SampleStudio.CreateAsync(harness);
        await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "poison-a", Part.A, "poison-a-can", ReceivedMassMg);
        await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "poison-b", Part.B, "poison-b-can", ReceivedMassMg);
        foreach (var trap in Traps(engine)) store.Alter(trap);
        var batches = Cycles.Of(inShort: 20, inLong: 10_000);
        var (goodFailed, badKept) = (0, 0);

        for (var batch = 0; batch < batches; batch++)
        {
            var failed = await BatchAsync(harness, batch, bad: batch % BatchSize);
            badKept += failed[batch % BatchSize] ? 0 : 1;
            goodFailed += failed.Where((isFailed, call) => isFailed && call != batch % BatchSize).Count();
        }

        // Every good one drew its grams, no bad one did: 100 kg - batches x 63 x 1150 mg.
        var can = await new LotService.LotServiceClient(harness.Channel).GetContainerAsync(new() { Name = "studios/alder/containers/poison-a-can" });
        Assert.Equal(ReceivedMassMg - batches * (BatchSize - 1) * AMassMg, can.RemainingMassMg);
        using var verify = new SealService.SealServiceClient(harness.Channel).VerifyEvidence(new() { Parent = SampleStudio.Name });
        await foreach (var step in verify.ResponseStream.ReadAllAsync()) Assert.Null(step.Fault);
        Figures.AtLeast($"poison_{engine}_batches", batches, 1);
        Figures.AtMost($"poison_{engine}_good_failed", goodFailed, 0);
        Figures.AtMost($"poison_{engine}_bad_kept", badKept, 0);
    }

    /// <summary>Which of the calls failed.</summary>
    private static async Task<bool[]> BatchAsync(StudioHarness harness, int batch, int bad)
    {
        using var open = new ManualResetEventSlim();
        var entered = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var held = harness.Writer.WriteAsync(_ =>
        {
            entered.SetResult();
            open.Wait();
        });
        await entered.Task;
        // The handlers themselves, so that each is in the writer's queue when this line is done.
        var service = ActivatorUtilities.CreateInstance<Studio.Mixes.MixService>(harness.Services);
        var calls = Enumerable.Range(0, BatchSize).Select(call => service.RecordMix(Request(batch, call, call == bad), new DirectCall())).ToList();
        open.Set();
        await held;
        foreach (Task call in calls) await call.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        return [.. calls.Select(call => call.IsFaulted)];
    }

    private static RecordMixRequest Request(int batch, int call, bool isBad)
    {
        var atTheEnd = isBad && batch % 2 == 1;
        return new()
        {
            Parent = SampleStudio.Name,
            MixId = isBad && !atTheEnd ? $"poison-{batch}" : $"mix-{batch}-{call}",
            RequestId = atTheEnd ? $"{PoisonAtTheEnd}{batch:x12}" : $"{FirstId[..24]}{batch * BatchSize + call + 1:x12}",
            Mix = new()
            {
                Site = SampleStudio.North,
                ResinSystem = SampleStudio.Coat,
                Mixer = "Ivo",
                Draws =
                {
                    new Mix.Types.Draw { Container = "studios/alder/containers/poison-a-can", MassMg = AMassMg },
                    new Mix.Types.Draw { Container = "studios/alder/containers/poison-b-can", MassMg = BMassMg },
                },
            },
        };
    }

    /// <summary>The store refuses a mix by its name, and an answer by its request id, which is the last thing a call writes.</summary>
    private static IEnumerable<string> Traps(string engine)
    {
        (string Table, string When)[] traps = [("mixes", "new.name LIKE '%/poison-%'"), ("requests_seen", $"new.request_id LIKE '{PoisonAtTheEnd}%'")];
        return traps.Select(trap => engine == "file"
            ? $"CREATE TRIGGER poison_{trap.Table} BEFORE INSERT ON {trap.Table} WHEN {trap.When} BEGIN SELECT RAISE(ABORT, 'poison'); END"
            : $"""
            CREATE FUNCTION poison_{trap.Table}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE 'poison'; END $$;
            CREATE TRIGGER poison_{trap.Table} BEFORE INSERT ON {trap.Table} FOR EACH ROW WHEN ({trap.When}) EXECUTE FUNCTION poison_{trap.Table}();
            """);
    }
}
