using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Garbage;

/// <summary>A studio with a thing of most kinds, so that names in requests often lead somewhere.</summary>
internal static class GarbageStudio
{
    public static async Task CreateAsync(StudioHarness harness)
    {
        await SampleSeason.CreateAsync(harness.Channel);
        await SampleStudio.ReceiveLotsAsync(harness);
        await new MixService.MixServiceClient(harness.Channel).RecordMixAsync(new()
        {
            Parent = SampleStudio.Name,
            MixId = "first",
            Mix = new()
            {
                Site = SampleStudio.North,
                ResinSystem = SampleStudio.Deep,
                Mixer = "Ivo",
                // 100 : 42 by mass.
                Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
            },
        });
        foreach (var id in (string[])["first", "second"]) await PourAsync(harness, id);
        await harness.SettleAsync();
    }

    /// <summary>The secret of a lead of one site.</summary>
    public static async Task<string> KeyOfNorthAsync(StudioHarness harness) => (await new AccessService.AccessServiceClient(harness.Channel).CreateAccessKeyAsync(new()
    {
        Parent = SampleStudio.Name, AccessKeyId = "lead-north", AccessKey = new() { DisplayName = "Lead", Role = Role.Lead, Sites = { SampleStudio.North } },
    })).Secret;

    private static async Task PourAsync(StudioHarness harness, string piece)
    {
        var pieces = new PieceService.PieceServiceClient(harness.Channel);
        await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = piece, Piece = new() { Site = SampleStudio.North, Label = piece } });
        await pieces.RecordPourAsync(new()
        {
            Parent = $"{SampleStudio.Name}/pieces/{piece}",
            PourId = "first",
            Pour = new() { Mix = $"{SampleStudio.Name}/mixes/first", Bench = SampleStudio.NorthBench, MassMg = 400_000, DepthMm = 20, Pourer = "Ivo" },
        });
    }
}
