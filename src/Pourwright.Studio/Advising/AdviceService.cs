using Grpc.Core;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Advising;

/// <summary>gRPC of advice.proto. It only reads; the engine runs on the calling thread, after the view has ended.</summary>
public sealed class AdviceService(StudioReads reads, ResinModels models, TimeProvider clock) : V1.AdviceService.AdviceServiceBase
{
    public override Task<PourPlan> PlanPour(PlanPourRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Advising.PlanPour.CheckShape(request, now.ToUnixMs());
        var facts = reads.Read(session => AdvisingStore.LoadPour(session, request, models, now));
        return Task.FromResult(Advising.PlanPour.Decide(request, facts, context.CancellationToken));
    }

    public override Task<WhatIfAnswer> AskWhatIf(AskWhatIfRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Advising.AskWhatIf.CheckShape(request, now.ToUnixMs());
        var facts = reads.Read(session => AdvisingStore.LoadWhatIf(session, request, models, now));
        context.CancellationToken.ThrowIfCancellationRequested();
        return Task.FromResult(Advising.AskWhatIf.Decide(request, facts, now.ToUnixMs()));
    }

    public override Task<SecondDayPlan> PlanSecondDay(PlanSecondDayRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Advising.PlanSecondDay.CheckShape(request, now.ToUnixMs());
        var start = request.StartTime?.ToDateTimeOffset() ?? now;
        var facts = reads.Read(session => AdvisingStore.LoadSecondDay(session, request.Name, start));
        return Task.FromResult(Advising.PlanSecondDay.Decide(request, facts, start.ToUnixMs()));
    }
}
