using Grpc.Core;
using Pourwright.Studio.Refusals;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Requests;

/// <summary>Goal: one request id, one effect, one answer, however often and however closely it is tried; and never an answer for another body.</summary>
public sealed class RequestStormTests
{
    private const int TriesPerKey = 5, KeysAtOnce = 50;
    private const long ReceivedMassMg = 100_000_000, AMassMg = 1150, BMassMg = 480;

    [Theory, EveryEngine]
    public async Task FiveTriesAtOnce_HaveOneEffectAndOneAnswer_AndAnotherBodyIsRefused(string engine)
    {
        using var store = Engines.Create(engine);
        await using var harness = await StudioHarness.StartOnAsync(store);
        await SampleStudio.CreateAsync(harness);
        await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "storm-a", Part.A, "storm-a-can", ReceivedMassMg);
        await SampleStudio.ReceiveAsync(harness.Channel, SampleStudio.Coat, "storm-b", Part.B, "storm-b-can", ReceivedMassMg);
        var mixes = new MixService.MixServiceClient(harness.Channel);
        var keys = Cycles.Of(inShort: 200, inLong: 10_000);
        var (otherAnswers, otherBodiesTaken) = (0, 0);

        foreach (var some in Enumerable.Range(0, keys).Chunk(KeysAtOnce))
        {
            var answers = await Task.WhenAll(some.Select(key => TryAsync(mixes, key)));
            otherAnswers += answers.Count(tries => tries.Distinct().Count() != 1);
            var refusals = await Task.WhenAll(some.Select(key => RefusalOfAsync(mixes, key)));
            otherBodiesTaken += refusals.Count(reason => reason != Reasons.RequestIdReused);
        }

        // One effect a key: 100 kg - keys x 1150 mg.
        var can = await new LotService.LotServiceClient(harness.Channel).GetContainerAsync(new() { Name = "studios/alder/containers/storm-a-can" });
        Figures.AtLeast($"storm_{engine}_keys", keys, 1);
        Figures.AtMost($"storm_{engine}_effects_beyond_one", (ReceivedMassMg - can.RemainingMassMg) / (double)AMassMg - keys, 0);
        Figures.AtMost($"storm_{engine}_other_answers", otherAnswers, 0);
        Figures.AtMost($"storm_{engine}_other_bodies_taken", otherBodiesTaken, 0);
    }

    private static Task<Mix[]> TryAsync(MixService.MixServiceClient mixes, int key) =>
        Task.WhenAll(Enumerable.Range(0, TriesPerKey).Select(_ => mixes.RecordMixAsync(Request(key, AMassMg)).ResponseAsync));

    private static async Task<string> RefusalOfAsync(MixService.MixServiceClient mixes, int key)
    {
        try
        {
            await mixes.RecordMixAsync(Request(key, AMassMg + 1));
            return "";
        }
        catch (RpcException refusal)
        {
            return refusal.Reason();
        }
    }

    private static RecordMixRequest Request(int key, long aMassMg) => new()
    {
        Parent = SampleStudio.Name,
        RequestId = $"00000000-0000-4000-8000-{key + 1:x12}",
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Coat,
            Mixer = "Ivo",
            Draws =
            {
                new Mix.Types.Draw { Container = "studios/alder/containers/storm-a-can", MassMg = aMassMg },
                new Mix.Types.Draw { Container = "studios/alder/containers/storm-b-can", MassMg = BMassMg },
            },
        },
    };
}
