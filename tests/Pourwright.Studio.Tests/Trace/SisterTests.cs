using Pourwright.Studio.Trace;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Trace;

public sealed class SisterTests : IAsyncLifetime
{
    private StudioHarness _harness = null!;
    private V1.TraceService.TraceServiceClient _traces = null!;

    public async Task InitializeAsync()
    {
        _harness = await StudioHarness.StartAsync();
        _traces = new(_harness.Channel);
        await SampleStudio.CreateAsync(_harness);
        await SampleStudio.ReceiveLotsAsync(_harness);
    }

    public async Task DisposeAsync() => await _harness.DisposeAsync();

    [Fact]
    public async Task MoreSistersThanAreNamed_AreCounted_AndTheDefectiveOneIsNamedFirst()
    {
        await MixAsync("shared");
        await PourAsync("pc-one", "shared");
        await PourManyAsync("shared", SisterStore.NamedMax + 100);
        await new V1.DefectService.DefectServiceClient(_harness.Channel).ReportDefectAsync(new()
        {
            Parent = SampleStudio.Name,
            Defect = new() { Piece = Piece("zz-1100"), Kind = Defect.Types.Kind.Soft, Finder = "Ben" },
        });

        var mix = (await SistersAsync("pc-one")).Single(factor => factor.Kind == SharedKinds.Mix);

        Assert.Equal((1000, 1100, 1), (mix.Pieces.Count, mix.PieceCount, mix.DefectCount));
        Assert.Equal(Piece("zz-1100"), mix.Pieces[0]);
    }

    [Fact]
    public async Task SameMixer_CountsWithinNinetyDaysOnly()
    {
        await MixAsync("before");
        await PourAsync("long-before", "before");
        _harness.Clock.Advance(TimeSpan.FromDays(30));
        await MixAsync("month");
        await PourAsync("month-before", "month");
        _harness.Clock.Advance(TimeSpan.FromDays(89));
        await MixAsync("now");
        await PourAsync("pc-now", "now");

        // 119 days and 89 days before.
        Assert.Equal([Piece("month-before")], (await SistersAsync("pc-now")).Single(factor => factor.Kind == SharedKinds.Mixer).Pieces);
    }

    private async Task<IReadOnlyList<SharedFactor>> SistersAsync(string piece) => (await _traces.TracePieceAsync(new() { Name = Piece(piece) })).Sisters;

    private static string Piece(string id) => $"{SampleStudio.Name}/pieces/{id}";

    private async Task MixAsync(string id) => await new V1.MixService.MixServiceClient(_harness.Channel).RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
            Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
        },
    });

    private async Task PourAsync(string piece, string mix)
    {
        var pieces = new V1.PieceService.PieceServiceClient(_harness.Channel);
        await pieces.CreatePieceAsync(new() { Parent = SampleStudio.Name, PieceId = piece, Piece = new() { Site = SampleStudio.North, Label = piece } });
        await pieces.RecordPourAsync(new()
        {
            Parent = Piece(piece),
            Pour = new() { Mix = $"{SampleStudio.Name}/mixes/{mix}", Bench = SampleStudio.NorthBench, MassMg = 100_000, DepthMm = 15, Pourer = "Ana" },
        });
    }

    // Straight into the file: a thousand calls would take longer than they tell.
    private Task PourManyAsync(string mix, int count) => _harness.Writer.WriteAsync(tx =>
    {
        var rows = Enumerable.Range(1, count).Select(number => new { piece = Piece($"zz-{number:0000}"), mix = $"{SampleStudio.Name}/mixes/{mix}", like = Piece("pc-one") }).ToList();
        tx.Execute(
            """
            INSERT INTO pieces (name, studio, site, label, maker, casting_class, mould, wood_species, state)
            SELECT @piece, studio, site, label, maker, casting_class, mould, wood_species, state FROM pieces WHERE name = @like
            """, rows);
        tx.Execute(
            """
            INSERT INTO pours (name, piece, mix, bench, mass_mg, depth_mm, pour_ms, pourer, deviation_reason, layer_count, cautions, record_ms)
            SELECT @piece || '/pours/one', @piece, mix, pours.bench, 1, depth_mm, pour_ms, pourer, deviation_reason, layer_count, cautions, record_ms
              FROM pours JOIN pieces ON pieces.name = pours.piece WHERE pieces.name = @like AND pours.mix = @mix
            """, rows);
    });
}
