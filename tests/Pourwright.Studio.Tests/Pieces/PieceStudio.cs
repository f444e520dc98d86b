using Google.Protobuf.WellKnownTypes;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Pieces;

/// <summary>The sample studio at 11:00: 1,420 g mixed at 10:00 at the north site, and a piece in every state.</summary>
/// <remarks>The api role alone: messages stay where they were saved, and no forecast comes between two lines of a test.</remarks>
public sealed class PieceStudio : IAsyncLifetime
{
    public static readonly DateTimeOffset MixTime = StudioHarness.Start.AddHours(1);
    public static readonly DateTimeOffset PourTime = MixTime.AddMinutes(30);
    public static readonly DateTimeOffset Now = MixTime.AddHours(1);
    public const string Mix = "studios/alder/mixes/first";

    public StudioHarness Harness { get; private set; } = null!;
    public V1.PieceService.PieceServiceClient Pieces { get; private set; } = null!;
    public V1.MixService.MixServiceClient Mixes { get; private set; } = null!;

    public static string PieceNamed(string id) => $"{SampleStudio.Name}/pieces/{id}";

    public async Task InitializeAsync()
    {
        Harness = await StudioHarness.StartAsync(null, "--Node:Roles=api");
        (Pieces, Mixes) = (new(Harness.Channel), new(Harness.Channel));
        await SampleStudio.CreateAsync(Harness);
        await SampleStudio.ReceiveLotsAsync(Harness);
        Harness.Clock.Advance(Now - StudioHarness.Start);
        await MixAsync("first", 1_000_000);
        await CreatePiecesAsync();
    }

    public async Task DisposeAsync() => await Harness.DisposeAsync();

    /// <summary>Part A as given and 42 of B for 100 of it.</summary>
    public async Task<Mix> MixAsync(string id, long aMassMg) => await Mixes.RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = SampleStudio.North,
            ResinSystem = SampleStudio.Deep,
            Mixer = "Ivo",
            MixTime = Timestamp.FromDateTimeOffset(MixTime),
            Draws =
            {
                new V1.Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = aMassMg },
                new V1.Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = aMassMg * 42 / 100 },
            },
        },
    });

    public async Task<Piece> CreateAsync(string id, string site = SampleStudio.North) => await Pieces.CreatePieceAsync(
        new() { Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = site, Label = id } });

    public static RecordPourRequest Pour(string piece, long massMg = 100_000) => new()
    {
        Parent = PieceNamed(piece),
        Pour = new()
        {
            Mix = Mix,
            Bench = SampleStudio.NorthBench,
            MassMg = massMg,
            DepthMm = 20,
            PourTime = Timestamp.FromDateTimeOffset(PourTime),
            Pourer = "Ivo",
        },
    };

    public static RecordCheckRequest Check(string piece) => new()
    {
        Parent = PieceNamed(piece),
        Check = new() { Checker = "Asa", Touch = V1.Check.Types.Touch.Firm },
    };

    public static RecordStepRequest Step(string piece, Step.Types.Kind kind) => new()
    {
        Parent = PieceNamed(piece),
        Step = new() { Kind = kind, Worker = "Asa" },
    };

    /// <summary>Rows of the studio that a piece's calls may add to.</summary>
    public long RowCount() => Harness.Reads.Read(session => session.Scalar<long>(
        """
        SELECT (SELECT count(*) FROM pieces) + (SELECT count(*) FROM pours) + (SELECT count(*) FROM checks)
             + (SELECT count(*) FROM steps) + (SELECT count(*) FROM defects) + (SELECT count(*) FROM outbox)
        """));

    public long OutboxCount(string kind) => Harness.Reads.Read(session => session.Scalar<long>(
        "SELECT count(*) FROM outbox WHERE kind = @kind", new { kind }));

    private async Task CreatePiecesAsync()
    {
        await CreateAsync("prepared");
        await CreateAsync("southern", SampleStudio.South);
        await PourOneAsync("curing");
        await PourOneAsync("demolded", V1.Step.Types.Kind.Demold);
        await PourOneAsync("given", V1.Step.Types.Kind.Demold, V1.Step.Types.Kind.HandOver);
        await PourOneAsync("scrapped", V1.Step.Types.Kind.Scrap);
    }

    private async Task PourOneAsync(string id, params Step.Types.Kind[] steps)
    {
        await CreateAsync(id);
        var pour = Pour(id);
        pour.PourId = "first-layer";
        await Pieces.RecordPourAsync(pour);
        foreach (var kind in steps) await Pieces.RecordStepAsync(Step(id, kind));
    }
}
