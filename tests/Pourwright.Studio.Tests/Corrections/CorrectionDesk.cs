using Grpc.Core;
using Pourwright.Testing;
using Pourwright.V1;
using RightDraw = Pourwright.V1.CorrectMixRequest.Types.RightDraw;

namespace Pourwright.Studio.Tests.Corrections;

/// <summary>
/// The sample studio with a second can of A of another lot, 2 kg, and the mix "first": 1000 g of the first can and 420 g of hardener,
/// of which 300 g went into the piece "walnut". Forecasts are not made.
/// </summary>
internal sealed class CorrectionDesk : IAsyncDisposable
{
    public const string LotA = "studios/alder/lots/deep-a-lot";
    public const string OtherLotA = "studios/alder/lots/deep-a2-lot";
    public const string OtherA = "studios/alder/containers/deep-a2";
    public const string First = "studios/alder/mixes/first";
    public const string Walnut = "studios/alder/pieces/walnut";
    public const string Cherry = "studios/alder/pieces/cherry";

    private CorrectionDesk(StudioHarness harness) => Harness = harness;

    public StudioHarness Harness { get; }

    public V1.LotService.LotServiceClient Lots => new(Harness.Channel);

    public V1.MixService.MixServiceClient Mixes => new(Harness.Channel);

    public V1.PieceService.PieceServiceClient Pieces => new(Harness.Channel);

    public V1.TraceService.TraceServiceClient Traces => new(Harness.Channel);

    public V1.RecallService.RecallServiceClient Recalls => new(Harness.Channel);

    /// <summary>The pour of the mix "first" into "walnut".</summary>
    public Pour Pour { get; private set; } = null!;

    public static async Task<CorrectionDesk> StartAsync()
    {
        var desk = new CorrectionDesk(await StudioHarness.StartAsync(null, "--Node:Roles=api"));
        await SampleStudio.CreateAsync(desk.Harness);
        await SampleStudio.ReceiveLotsAsync(desk.Harness);
        await SampleStudio.ReceiveAsync(desk.Harness.Channel, SampleStudio.Deep, "deep-a2-lot", Part.A, "deep-a2", 2_000_000);
        await desk.MixAsync("first");
        await desk.CreatePieceAsync("walnut");
        await desk.CreatePieceAsync("cherry");
        desk.Pour = await desk.PourAsync(Walnut, First);
        return desk;
    }

    public ValueTask DisposeAsync() => Harness.DisposeAsync();

    public async Task<Mix> MixAsync(string id, string a = SampleStudio.DeepA, long aMassMg = 1_000_000, long bMassMg = 420_000) => await Mixes.RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
            Draws = { new Mix.Types.Draw { Container = a, MassMg = aMassMg }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = bMassMg } },
        },
    });

    public async Task CreatePieceAsync(string id, string site = SampleStudio.North) => await Pieces.CreatePieceAsync(new()
    {
        Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = site, Label = id, Maker = $"the maker of {id}" },
    });

    public async Task<Pour> PourAsync(string piece, string mix, long massMg = 300_000, double depthMm = 20) => await Pieces.RecordPourAsync(new()
    {
        Parent = piece, Pour = new() { Mix = mix, Bench = SampleStudio.NorthBench, MassMg = massMg, DepthMm = depthMm, Pourer = "Ivo" },
    });

    public static CorrectMixRequest Right(params RightDraw[] draws) => new()
    {
        Name = First, Kind = Correction.Types.Kind.IncorrectData, Draws = { draws }, Person = "Ana", Reason = "the can beside it",
    };

    public static RightDraw Draw(string container, long massMg = 0, string right = "") => new() { Container = container, MassMg = massMg, RightContainer = right };

    public async Task<Mix> CorrectAsync(params RightDraw[] draws) => await Mixes.CorrectMixAsync(Right(draws));

    public async Task<Mix> UndoAsync(string mix = First) => await Mixes.CorrectMixAsync(new()
    {
        Name = mix, Kind = Correction.Types.Kind.DidNotOccur, Person = "Ana", Reason = "recorded twice",
    });

    public async Task<Pour> CorrectPourAsync(string piece = "", string mix = "", long massMg = 0, double depthMm = 0, string? pour = null) =>
        await Pieces.CorrectPourAsync(new()
        {
            Name = pour ?? Pour.Name, Kind = Correction.Types.Kind.IncorrectData, RightPiece = piece, RightMix = mix, MassMg = massMg, DepthMm = depthMm,
            Person = "Ana", Reason = "the mould beside it",
        });

    public async Task<Pour> UndoPourAsync(string? pour = null) => await Pieces.CorrectPourAsync(new()
    {
        Name = pour ?? Pour.Name, Kind = Correction.Types.Kind.DidNotOccur, Person = "Ana", Reason = "recorded twice",
    });

    public async Task<long> BalanceAsync(string container) => (await Lots.GetContainerAsync(new() { Name = container })).RemainingMassMg;

    /// <summary>Ids of the pieces that a lot, a container or a mix reached.</summary>
    public async Task<string> ReachedAsync(string name)
    {
        using var call = Traces.TraceReached(new() { Name = name });
        List<string> pieces = [];
        await foreach (var part in call.ResponseStream.ReadAllAsync()) pieces.AddRange(part.Pieces.Select(piece => piece.Label));
        return string.Join(' ', pieces);
    }

    /// <summary>The lots of a piece by the bare walk, which must be those of its trace.</summary>
    public async Task<IReadOnlyList<string>> LotsOfAsync(string piece)
    {
        string[] walked = [.. (await Traces.TraceOriginsAsync(new() { Name = piece })).Origins.Select(origin => origin.Lot).Distinct().Order()];
        var trace = await Traces.TracePieceAsync(new() { Name = piece });
        Assert.Equal(walked, trace.Pours.SelectMany(pour => pour.Draws).SelectMany(draw => draw.Lots).Select(lot => lot.Name).Distinct().Order());
        return walked;
    }

    /// <summary>Everything that is only ever added to, row for row.</summary>
    public IReadOnlyList<string> Evidence() => Harness.Reads.Read(session => session.Query<string>(
        """
        SELECT 'event ' || sequence || container || kind || mass_mg || coalesce(mix, '') FROM container_events
         UNION ALL
        SELECT 'mix ' || name || a_mass_mg || ' ' || b_mass_mg FROM mixes
         UNION ALL
        SELECT 'pour ' || name || mix || mass_mg || ' ' || depth_mm FROM pours
         UNION ALL
        SELECT 'correction ' || sequence || subject FROM corrections
        """));

    /// <summary>The reason for which a call is refused, and nothing was written.</summary>
    public async Task<string> RefusedAsync(Func<Task> ask)
    {
        var before = Evidence();
        var refused = await Assert.ThrowsAsync<RpcException>(ask);
        Assert.Equal(before, Evidence());
        return refused.Reason();
    }
}
