using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using Pourwright.Studio.Storage;
using Pourwright.Testing;
using Pourwright.V1;

namespace Pourwright.Studio.Tests.Storage;

/// <summary>Two nodes on one PostgreSQL database: one serves and works, the other serves.</summary>
public sealed class SharedStoreTests : IAsyncLifetime
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private TestStore _store = null!;
    private StudioHarness _first = null!;
    private StudioHarness _second = null!;

    public async Task InitializeAsync()
    {
        if (TestStore.Server is null) return;
        _store = TestStore.OnServer();
        _first = await StudioHarness.StartOnAsync(_store);
        _second = await StudioHarness.StartOnAsync(_store, "--Node:Roles=api");
    }

    public async Task DisposeAsync()
    {
        if (TestStore.Server is null) return;
        await _second.DisposeAsync();
        await _first.DisposeAsync();
        _store.Dispose();
    }

    [ServerFact]
    public async Task RecordMix_BothNodesDrawOnOneContainer_NeverMoreThanItHolds()
    {
        await SampleStudio.CreateAsync(_first);
        // 20 kg of A, 100 g a mix: 200 mixes empty it, and 240 are asked for.
        await SampleStudio.ReceiveLotsAsync(_first);

        var answers = await Task.WhenAll(Enumerable.Range(0, 240).Select(i => TryMixAsync(i % 2 == 0 ? _first : _second)));

        Assert.Equal(200, answers.Count(reason => reason is null));
        Assert.All(answers, reason => Assert.Contains(reason, (string?[])[null, "CONTAINER_SHORT", "CONTAINER_SPENT"]));
        Assert.Equal(0, Remaining(_second, SampleStudio.DeepA));
        Assert.Equal(20_000_000, _first.Reads.Read(session => session.Scalar<long>(
            "SELECT CAST(sum(-mass_mg) AS BIGINT) FROM container_events WHERE container = @DeepA AND kind = 'mixed'", new { SampleStudio.DeepA })));
    }

    [ServerFact]
    public async Task NextAsync_OtherNodeCommits_Completes()
    {
        var commits = _second.Services.GetRequiredService<CommitSignal>();
        await HeardAsync();
        var next = commits.NextAsync(CancellationToken.None);
        Assert.False(next.IsCompleted);
        await SampleStudio.CreateAsync(_first);
        await next.WaitAsync(Patience);

        // Listening begins with a wake of its own: commit until one of the other node is heard of.
        async Task HeardAsync()
        {
            using var limit = new CancellationTokenSource(Patience);
            for (var heard = commits.NextAsync(limit.Token); !heard.IsCompleted;) await _first.Writer.WriteAsync(tx => tx.Now, limit.Token);
        }
    }

    [ServerFact]
    public async Task WatchReminders_SentByTheOtherNode_AreSeen()
    {
        await SampleStudio.CreateAsync(_first);
        await SampleStudio.ReceiveLotsAsync(_first);
        using var limit = new CancellationTokenSource(Patience);
        using var watch = new ReminderService.ReminderServiceClient(_second.Channel).WatchReminders(
            new() { Parent = SampleStudio.Name }, cancellationToken: limit.Token);
        var first = watch.ResponseStream.MoveNext(limit.Token);

        // The lots expire at once for whoever looks far enough ahead: 180 days after they are opened.
        Assert.Null(await TryMixAsync(_second));
        await _first.AdvanceAsync(TimeSpan.FromDays(179));
        await _first.SettleAsync();

        Assert.True(await first);
        Assert.Equal(Reminder.Types.Kind.LotExpiring, watch.ResponseStream.Current.Kind);
    }

    [ServerFact]
    public async Task Outbox_BothNodesPublish_SequenceIsTheOrderOfTheCommits()
    {
        var written = await Task.WhenAll(Enumerable.Range(0, 400).Select(i => (i % 2 == 0 ? _first : _second).Writer.WriteAsync(tx =>
        {
            // Inside the lock of the commit nobody else is between these two.
            var before = tx.Scalar<long?>("SELECT max(sequence) FROM outbox") ?? 0;
            tx.Execute("INSERT INTO outbox (message_id, kind, body, created_ms, finished_ms) VALUES (@id, 'none', '{}', 0, 0)", new { id = $"{i}" });
            return (Before: before, Own: tx.Scalar<long>("SELECT max(sequence) FROM outbox"));
        })));

        Assert.All(written, each => Assert.True(each.Own > each.Before));
        Assert.Equal(400, written.Select(each => each.Own).Distinct().Count());
        Assert.Equal(400, written.Select(each => each.Before).Distinct().Count());
    }

    [ServerFact]
    public async Task Write_ConnectionsKilled_IsRefusedOrKept_AndTheNextSucceeds()
    {
        await SampleStudio.CreateAsync(_first);
        _first.ExpectErrorContaining("");
        _store.KillConnections();

        var refusal = await Record.ExceptionAsync(() => SampleStudio.ReceiveAsync(_first.Channel, SampleStudio.Coat, "coat-a", Part.A, "coat-a-can", 1_000_000));
        if (refusal is RpcException { StatusCode: var code }) Assert.Equal(StatusCode.Unavailable, code);
        await SampleStudio.ReceiveAsync(_first.Channel, SampleStudio.Coat, "coat-b", Part.B, "coat-b-can", 1_000_000);

        Assert.Equal(1_000_000, Remaining(_first, "studios/alder/containers/coat-b-can"));
    }

    private static long Remaining(StudioHarness node, string container) => node.Reads.Read(session =>
        session.Scalar<long>("SELECT remaining_mass_mg FROM containers WHERE name = @container", new { container }));

    /// <summary>100 g of A and 42 g of B; null, or why not.</summary>
    private static async Task<string?> TryMixAsync(StudioHarness node)
    {
        try
        {
            await new MixService.MixServiceClient(node.Channel).RecordMixAsync(new()
            {
                Parent = SampleStudio.Name,
                Mix = new()
                {
                    Site = SampleStudio.North,
                    ResinSystem = SampleStudio.Deep,
                    Mixer = "Asa",
                    Draws =
                    {
                        new Mix.Types.Draw { Container = SampleStudio.DeepA, MassMg = 100_000 },
                        new Mix.Types.Draw { Container = SampleStudio.DeepB, MassMg = 42_000 },
                    },
                },
            });
            return null;
        }
        catch (RpcException refusal)
        {
            return refusal.Reason();
        }
    }
}
