using Microsoft.Extensions.DependencyInjection;
using Pourwright.Cli.Kernel;
using Pourwright.Studio.Storage;
using Pourwright.Testing;

namespace Pourwright.Journeys.Cli;

/// <summary>Failed messages on the command line.</summary>
public sealed class MessageTests
{
    private const string Id = "0b6f7a52-94d5-4f0e-9f5c-6a5f1b1f7a11";

    [Fact]
    public async Task FailedMessage_IsShownReplayedAndShownAgainWhenItFailsAgain()
    {
        await using var harness = await StudioHarness.StartAsync();
        harness.ExpectErrorContaining("cannot be read");
        var shell = new Shell(harness.Channel.Target, harness.Clock);
        Assert.Contains("No message has failed.", await shell.DoAsync("message failed"), StringComparison.Ordinal);
        await harness.Writer.WriteAsync(tx => tx.Execute(
            "INSERT INTO outbox (message_id, kind, body, created_ms, published_ms, attempts, last_error) VALUES (@Id, 'Forgotten', '{}', @nowMs, 0, 40, 'the room is unknown')",
            new { Id, nowMs = harness.Clock.GetUtcNow().ToUnixMs() }));

        Assert.Matches($@"GIVEN UP\s+Forgotten\s+Fri 6 Feb 09:00.*failed 40 times\s+message-{Id}", await shell.DoAsync("message failed"));
        Assert.Equal(ExitCodes.Usage, (await shell.RunAsync("message replay")).Code);
        Assert.Contains("1 message is tried again.", await shell.DoAsync($"message replay message-{Id}"), StringComparison.Ordinal);

        // No consumer takes this kind: it fails once more, for another reason.
        await UntilFailedAgainAsync(harness);
        Assert.Matches(@"TRIED AGAIN[\s\S]*No consumer in this build takes Forgotten", await shell.DoAsync("message failed"));
        Assert.Contains("1 message is tried again.", await shell.DoAsync("message replay --all"), StringComparison.Ordinal);
        await UntilFailedAgainAsync(harness);
        Assert.Equal(ExitCodes.Refused, (await shell.RunAsync("message replay message-nowhere")).Code);
        Assert.Equal(ExitCodes.Refused, (await shell.RunAsync("message replay nowhere")).Code);
    }

    private static async Task UntilFailedAgainAsync(StudioHarness harness)
    {
        using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        while (true)
        {
            var next = harness.Services.GetRequiredService<CommitSignal>().NextAsync(limit.Token);
            if (harness.Reads.Read(session => session.Scalar<long>("SELECT attempts FROM outbox WHERE published_ms IS NOT NULL")) == 1) return;
            await next;
        }
    }
}
