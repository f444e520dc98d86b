using Grpc.Core;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Tests.Classes;
using Pourwright.Testing;
using Pourwright.V1;
using Microsoft.Extensions.DependencyInjection;

namespace Pourwright.Studio.Tests.Recalls;

/// <summary>A class whose pieces come from one mix: mia's was handed over, noa's (who wants no messages) and a third, of nobody on record, are in the house.</summary>
/// <remarks>Sweeps run when the test says so; forecasts are not made, since nothing is settled before the end.</remarks>
public sealed class RecallStudio : IAsyncLifetime
{
    public const string Mix = "studios/alder/mixes/first";
    public const string LotA = "studios/alder/lots/deep-a-lot";

    private readonly ClassStudio _studio = new();

    public StudioHarness Harness => _studio.Harness;

    public V1.RecallService.RecallServiceClient Recalls => new(Harness.Channel);

    public V1.PieceService.PieceServiceClient Pieces => new(Harness.Channel);

    public V1.LotService.LotServiceClient Lots => new(Harness.Channel);

    public async Task InitializeAsync()
    {
        await _studio.InitializeAsync();
        await SampleStudio.ReceiveLotsAsync(Harness);
        await _studio.AskAsync();
        await _studio.EnrolAsync("mia");
        await _studio.EnrolAsync("noa", consent: false);
        await MixAsync("first");
        await PourAsync("walnut", "mia", ClassStudio.Trays);
        await PourAsync("cherry", "noa", ClassStudio.Trays);
        await PourAsync("maple", "somebody", "");
        await StepAsync("walnut", Step.Types.Kind.HandOver);
    }

    public Task DisposeAsync() => _studio.DisposeAsync();

    public static string Piece(string id) => $"{SampleStudio.Name}/pieces/{id}";

    public async Task MixAsync(string id) => await new V1.MixService.MixServiceClient(Harness.Channel).RecordMixAsync(new()
    {
        Parent = SampleStudio.Name,
        MixId = id,
        Mix = new()
        {
            Site = SampleStudio.North, ResinSystem = SampleStudio.Deep, Mixer = "Ivo",
            Draws = { new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 1_000_000 }, new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 420_000 } },
        },
    });

    public async Task PourAsync(string id, string maker, string castingClass, string mix = "first")
    {
        await Pieces.CreatePieceAsync(new()
        {
            Parent = SampleStudio.Name, PieceId = id, Piece = new() { Site = SampleStudio.North, Label = id, Maker = maker, CastingClass = castingClass },
        });
        await Pieces.RecordPourAsync(new()
        {
            Parent = Piece(id),
            Pour = new() { Mix = $"{SampleStudio.Name}/mixes/{mix}", Bench = SampleStudio.NorthBench, MassMg = 300_000, DepthMm = 20, Pourer = "Ivo" },
        });
    }

    public async Task<Step> StepAsync(string id, Step.Types.Kind kind, string note = "") => await Pieces.RecordStepAsync(new()
    {
        Parent = Piece(id), Step = new() { Kind = kind, Worker = "Asa", Note = note },
    });

    public async Task<Recall> StartAsync(string id = "recall-1", bool validateOnly = false, string requestId = "") => await Recalls.StartRecallAsync(new()
    {
        Parent = SampleStudio.Name, Scope = new() { Name = LotA }, Reason = "soft pieces", Starter = "Ana", RecallId = id, ValidateOnly = validateOnly, RequestId = requestId,
    });

    public async Task<Recall> GetAsync(string id = "recall-1") => await Recalls.GetRecallAsync(new() { Name = $"{SampleStudio.Name}/recalls/{id}" });

    public Task SweepAsync<T>() where T : ISweep => Harness.Services.GetRequiredService<T>().RunAsync(CancellationToken.None);

    /// <summary>Moves the clock, chases twice, and sends what is due: a second look must add nothing.</summary>
    public async Task ChaseAtAsync(TimeSpan afterStart)
    {
        Harness.Clock.SetUtcNow(StudioHarness.Start + afterStart);
        await SweepAsync<Studio.Recalls.ChaseRecalls>();
        await SweepAsync<Studio.Recalls.ChaseRecalls>();
        await SweepAsync<DueReminders>();
    }

    /// <summary>To whom, of a kind, in the order they came to be.</summary>
    public IReadOnlyList<string> Told(Reminder.Types.Kind kind) => [.. _studio.Reminders(kind).Select(reminder => reminder.To)];

    public IReadOnlyList<(string To, Reminder.Types.State State, string Text)> Reminders(Reminder.Types.Kind kind) => _studio.Reminders(kind);

    public long Count(string table) => _studio.Count(table);
}

internal static class Refused
{
    /// <summary>The reason for which a call is refused.</summary>
    public static async Task<string> ByAsync(Func<Task> ask) => (await Assert.ThrowsAsync<RpcException>(ask)).Reason();
}
