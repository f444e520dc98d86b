using Grpc.Net.Client;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Benchmarks.Service;

/// <summary>One small mix after another from two cans that last.</summary>
internal static class Mixes
{
    public const string Can = "studios/alder/containers/coat-a-can";

    public static async Task CreateAsync(GrpcChannel channel)
    {
        await SampleStudio.CreateAsync(channel);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", 1_000_000_000);
        await SampleStudio.ReceiveAsync(channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", 1_000_000_000);
    }

    /// <summary>Exactly 2 : 1 by volume at 1150 and 960 kg/m3.</summary>
    public static Task RecordAsync(GrpcChannel channel) => new MixService.MixServiceClient(channel).RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        RequestId = Guid.NewGuid().ToString(),
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Coat,
            Mixer = "Asa",
            Scale = "scale 1",
            Draws =
            {
                new Mix.Types.Draw { Container = Can, MassMg = 1150 },
                new Mix.Types.Draw { Container = "studios/alder/containers/coat-b-can", MassMg = 480 },
            },
        },
    }).ResponseAsync;
}
