using System.Diagnostics;
using System.Diagnostics.Metrics;

namespace Pourwright.Studio.Telemetry;

/// <summary>What a node tells of its own work: spans that lead from a client's call to the reminder it causes, and a few figures.</summary>
/// <remarks>
/// A call, the message it saves, the reminder that follows and its delivery may lie days, nodes and restarts apart: each row keeps the
/// span that wrote it (W3C Trace Context, `traceparent`), and what is done with the row later goes on from there. Subjects of spans
/// are names of rows, never people or addresses. Without a listener nothing is kept and hardly anything is spent.
/// </remarks>
public static class StudioTelemetry
{
    /// <summary>Of spans and of figures alike.</summary>
    public const string Name = "Pourwright";

    private static readonly ActivitySource Spans = new(Name);
    private static readonly Meter Figures = new(Name);

    private static readonly Histogram<int> CommitWrites = Figures.CreateHistogram<int>(
        "pourwright.commit.writes", "{write}", "Writes that one commit kept or refused.");

    private static readonly Histogram<double> CommitSeconds = Figures.CreateHistogram<double>(
        "pourwright.commit.duration", "s", "From the first write of a commit to its flush.");

    private static readonly Counter<long> Published = Figures.CreateCounter<long>(
        "pourwright.messages.published", "{message}", "Messages handed to the bus.");

    private static readonly Counter<long> Reminded = Figures.CreateCounter<long>(
        "pourwright.reminders.sent", "{reminder}", "Reminders that went out.");

    private static readonly Counter<long> Delivered = Figures.CreateCounter<long>(
        "pourwright.deliveries", "{attempt}", "Attempts to carry a reminder to a person, by channel and end.");

    /// <summary>The span at hand, for a row to keep; null where nobody records it.</summary>
    public static string? TraceParent() => Activity.Current is { Recorded: true, IdFormat: ActivityIdFormat.W3C } current ? current.Id : null;

    /// <summary>Hands over a message, in the trace of the write that saved it.</summary>
    public static Activity? BeginPublish(string kind, string? traceParent)
    {
        Published.Add(1, new KeyValuePair<string, object?>("kind", kind));
        return Begin($"relay {kind}", ActivityKind.Producer, traceParent);
    }

    /// <summary>A reminder goes out: a span of no length in the trace of what caused it.</summary>
    public static void TellSent(string reminder, string kind, string? traceParent)
    {
        Reminded.Add(1, new KeyValuePair<string, object?>("kind", kind));
        using var span = Begin("send reminder", ActivityKind.Internal, traceParent);
        span?.SetTag("pourwright.reminder", reminder);
    }

    /// <summary>Carries a reminder to a person.</summary>
    public static Activity? BeginDelivery(string reminder, string channel, string? traceParent) =>
        Begin($"deliver by {channel}", ActivityKind.Client, traceParent)?.SetTag("pourwright.reminder", reminder);

    public static void EndDelivery(Activity? span, string channel, string end, string? error)
    {
        Delivered.Add(1, new("channel", channel), new("end", end));
        if (error is { Length: > 0 }) span?.SetStatus(ActivityStatusCode.Error);
    }

    public static void TellCommit(int writes, TimeSpan took)
    {
        CommitWrites.Record(writes);
        CommitSeconds.Record(took.TotalSeconds);
    }

    private static Activity? Begin(string name, ActivityKind kind, string? traceParent) => Spans.StartActivity(name, kind, traceParent);
}
