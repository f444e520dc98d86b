using System.Text.Json;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>Ends a recall or a drill, with what it left open.</summary>
public static class CloseRecall
{
    private const int GapsMax = 50;

    /// <exception cref="Refusal">FIELD_INVALID, all fields at once.</exception>
    public static void CheckShape(CloseRecallRequest request)
    {
        var checks = new FieldChecks()
            .Name("name", request.Name, ResourceKind.Recall)
            .Text("outcome", request.Outcome, 500, 3)
            .Text("closer", request.Closer, 80)
            .Require(request.Gaps.Count <= GapsMax, "gaps", $"must be up to {GapsMax}.", $"{request.Gaps.Count}");
        for (var i = 0; i < Math.Min(request.Gaps.Count, GapsMax); i++) checks.Text($"gaps[{i}]", request.Gaps[i], 500);
        checks.ThrowIfAny();
    }

    /// <exception cref="Refusal">RECALL_CLOSED.</exception>
    public static void RequireOpen(RecallRecord recall)
    {
        if (!recall.IsOpen)
            throw Refusal.Precondition(Reasons.RecallClosed,
                $"'{recall.Name}' was closed by {recall.Closer}: {recall.Outcome}. Start another recall, or write it down there.", ("recall", recall.Name));
    }

    /// <summary>Its end: the gaps of the records, those of the answers, then those that people found.</summary>
    public static CloseRecord Decide(CloseRecallRequest request, RecallRecord recall, IReadOnlyList<NoticeRecord> notices, long nowMs)
    {
        RequireOpen(recall);
        var silent = notices.Count(notice => notice.AnswerMs is null);
        var lost = notices.Count(notice => notice.Answer == RecallNotice.Types.Answer.NotReached);
        string[] gaps =
        [
            .. recall.ToProto().Gaps,
            .. silent == 0 ? [] : new[] { $"{TraceWords.Capital(TraceWords.Count(silent, "person", "persons"))} of {notices.Count} did not answer." },
            .. lost == 0 ? [] : new[] { $"{TraceWords.Capital(TraceWords.Count(lost, "person", "persons"))} of {notices.Count} could not be reached." },
            .. request.Gaps,
        ];
        return new(request.Name, request.Outcome, JsonSerializer.Serialize(gaps), request.Closer, request.Release, nowMs);
    }
}
