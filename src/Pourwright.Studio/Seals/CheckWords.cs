using Pourwright.V1;

namespace Pourwright.Studio.Seals;

/// <summary>A check as messages.</summary>
public static class CheckWords
{
    public static VerifyEvidenceResponse ToProto(CheckStep step) => step.Fault is { } fault
        ? new() { Fault = ToProto(fault) }
        : new() { Progress = new() { Chain = step.Chain, CheckedCount = step.CheckedCount, LinkCount = step.LinkCount } };

    public static VerifyEvidenceResponse ToProto(CheckSummary summary) => new()
    {
        Summary = new()
        {
            FaultCount = summary.FaultCount,
            ChainCount = summary.ChainCount,
            LinkCount = summary.LinkCount,
            RecordCount = summary.RecordCount,
            SealCount = summary.SealCount,
            UnsealedCount = summary.UnsealedCount,
            AdoptedCount = summary.AdoptedCount,
            Text = summary.ToText(),
        },
    };

    private static V1.EvidenceFault ToProto(EvidenceFault fault)
    {
        var message = new V1.EvidenceFault { Chain = fault.Chain, Table = fault.Table, Key = fault.Key, Finding = fault.Finding };
        if (fault.Position is { } position) message.PrecedingCount = position;
        return message;
    }
}
