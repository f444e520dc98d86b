using Pourwright.Faults.Requests;
using Pourwright.Studio.Messaging;
using Pourwright.Studio.Reminders;
using Pourwright.Studio.Reminders.Channels;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Faults.Simulation;

/// <summary>
/// Goal: from a pour to the mail that warns of it nothing is missed and nothing doubled, wherever its node dies. Method: the node is
/// struck dead once in each window: before and after the save, before and after the hand-over and its mark, before and after the
/// effect, before and after the mail and its mark; then it starts again and everything comes to rest. The receiver drops what it has
/// by its id, as the mail's Message-Id lets it.
/// </summary>
public sealed class DeliveryWindowTests
{
    private static readonly Type[] Sweeps = [typeof(DueReminders), typeof(DeliverReminders), typeof(ReopenStuckMessages)];

    [Fact]
    public async Task NodeDies_InEachWindowFromThePourToTheMail_OneMailArrives()
    {
        var (windows, missed, doubled) = (0, 0, 0);
        foreach (var isAlone in (bool[])[true, false])
            for (var nth = 1; ; nth++)
            {
                using var template = await StudioTemplate.CopyAsync();
                var world = new SimulatedWorld(seed: 0, StudioHarness.Start, PlantedBug.None);
                if (!await StrikeAsync(world, template.Path, isAlone, nth)) break;
                windows++;
                var arrived = world.Posts.Select(post => post.Reminder).Distinct().Count();
                missed += arrived == 0 ? 1 : 0;
                doubled += arrived > 1 ? 1 : 0;
            }
        Figures.AtLeast("outbox_windows_struck", windows, 20);
        Figures.AtMost("outbox_warnings_missed", missed, 0);
        Figures.AtMost("outbox_warnings_doubled", doubled, 0);
    }

    /// <summary>One pour whose node dies at the n-th point it reaches; false where there are not so many.</summary>
    private static async Task<bool> StrikeAsync(SimulatedWorld world, string file, bool isAlone, int nth)
    {
        var node = new SimulatedNode(world, "one", file, isAlone);
        await node.StartAsync();
        await PrepareAsync(node);
        world.Arm(Fault.Death, nth);
        await TryAsync(() => PourAsync(node));
        await TryAsync(() => WorkAsync(node));
        var hasDied = node.IsDead;
        world.Disarm();
        if (hasDied)
        {
            await node.EndAsync();
            await node.StartAsync();
        }
        // The client sends what had no answer again; ten minutes later what the bus lost is handed over again.
        await PourAsync(node);
        for (var look = 0; look < 4; look++)
        {
            world.Clock.Now += TimeSpan.FromMinutes(5);
            await WorkAsync(node);
        }
        await node.EndAsync();
        return hasDied;
    }

    private static async Task TryAsync(Func<Task> act)
    {
        try
        {
            await act();
        }
        catch (Exception e) when (e is not Xunit.Sdk.XunitException)
        {
            // Struck; what is kept shows in the end.
        }
    }

    private static async Task PrepareAsync(SimulatedNode node)
    {
        await node.Make<Studio.Mixes.MixService>().RecordMix(new()
        {
            Parent = SampleStudio.Name, MixId = "mix",
            Mix = new()
            {
                Site = SampleStudio.North, ResinSystem = SampleStudio.Coat, Mixer = "Ivo",
                Draws = { new Mix.Types.Draw { Container = StudioTemplate.CanA, MassMg = 1150 }, new Mix.Types.Draw { Container = StudioTemplate.CanB, MassMg = 480 } },
            },
        }, new DirectCall());
        await node.Make<Studio.Pieces.PieceService>().CreatePiece(
            new() { Parent = SampleStudio.Name, PieceId = "piece", Piece = new() { Site = SampleStudio.North, Label = "piece" } }, new DirectCall());
    }

    private static async Task PourAsync(SimulatedNode node)
    {
        await node.Make<Studio.Pieces.PieceService>().RecordPour(new()
        {
            Parent = $"{SampleStudio.Name}/pieces/piece", PourId = "pour", RequestId = "10000000-0000-4000-8000-000000000003",
            Pour = new() { Mix = $"{SampleStudio.Name}/mixes/mix", Bench = SampleStudio.NorthBench, MassMg = 1000, DepthMm = 40, Pourer = "Ivo" },
        }, new DirectCall());
    }

    /// <summary>The worker's round: hand over, take effect, send, deliver.</summary>
    private static async Task WorkAsync(SimulatedNode node)
    {
        await node.RelayAsync();
        while (node.World.Bus.Waiting is [var message, ..])
        {
            node.World.Bus.Waiting.RemoveAt(0);
            await node.ConsumeAsync(message);
        }
        foreach (var sweep in Sweeps) await node.Sweep(sweep).RunAsync(CancellationToken.None);
    }
}
