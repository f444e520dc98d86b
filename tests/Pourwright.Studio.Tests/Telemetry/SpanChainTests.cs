using System.Collections.Concurrent;
using System.Diagnostics;
using Pourwright.Studio.Tests.Forecasts;
using Pourwright.Studio.Tests.Reminders;

namespace Pourwright.Studio.Tests.Telemetry;

/// <summary>W3C Trace Context: one trace from the client's call to what reaches a person, each span the child of the one before.</summary>
public sealed class SpanChainTests
{
    private static readonly ActivitySource Bench = new("a client at the bench");

    [Fact]
    public async Task Pour_ThatWillRunAway_IsOneChainFromTheCallToTheMail()
    {
        var ended = new ConcurrentQueue<Activity>();
        using var listener = Listen(ended);
        var mail = new RecordingChannel("email");
        await using var desk = await CastingDesk.StartAsync(configure: ReminderDesk.With(mail));

        ActivityTraceId trace;
        using (var call = Bench.StartActivity("pour")!)
        {
            trace = call.TraceId;
            await desk.PourAsync(depthMm: 100, resinCelsius: 25);
        }
        await desk.Harness.SettleAsync();
        Assert.NotEmpty(mail.Sent);

        var spans = ended.Where(span => span.TraceId == trace).ToDictionary(span => span.SpanId);
        Assert.Contains("deliver by email", spans.Values.Select(span => span.OperationName));
        var delivery = spans.Values.First(span => span.OperationName == "deliver by email");
        var chain = Ancestors(delivery, spans).Select(span => span.OperationName).ToList();

        Assert.Equal("pour", chain[^1]);
        Assert.Equal(1, chain.Count(name => name.EndsWith("HttpRequestIn", StringComparison.Ordinal)));
        Assert.Equal(1, chain.Count(name => name == "relay PourRecorded"));
        Assert.True(chain.IndexOf("relay PourRecorded") is var relayed && relayed > 1 && relayed < chain.Count - 2, string.Join(" < ", chain));
        Assert.Contains(spans.Values, span => span.OperationName == "send reminder" && span.ParentSpanId == delivery.ParentSpanId);
    }

    /// <summary>The other half: without anybody who records, rows keep no span.</summary>
    [Fact]
    public async Task Pour_NobodyRecords_KeepsNoSpan()
    {
        await using var desk = await CastingDesk.StartAsync();
        using (new Activity("unrecorded").Start()) await desk.Harness.Writer.WriteAsync(tx => Assert.Null(tx.TraceParent));
    }

    private static IEnumerable<Activity> Ancestors(Activity span, Dictionary<ActivitySpanId, Activity> spans)
    {
        for (var at = span; at is not null; at = spans.GetValueOrDefault(at.ParentSpanId)) yield return at;
    }

    private static ActivityListener Listen(ConcurrentQueue<Activity> ended)
    {
        var listener = new ActivityListener
        {
            ShouldListenTo = _ => true,
            Sample = (ref ActivityCreationOptions<ActivityContext> _) => ActivitySamplingResult.AllDataAndRecorded,
            ActivityStopped = ended.Enqueue,
        };
        ActivitySource.AddActivityListener(listener);
        return listener;
    }
}
