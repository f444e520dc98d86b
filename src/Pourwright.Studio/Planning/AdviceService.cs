using Grpc.Core;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Planning;

/// <summary>gRPC of advice.proto. It only reads; the engine runs on the calling thread, after the view has ended.</summary>
public sealed class AdviceService(StudioReads reads, ResinModels models, TimeProvider clock) : V1.AdviceService.AdviceServiceBase
{
    public override Task<PourPlan> PlanPour(PlanPourRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Planning.PlanPour.CheckShape(request, now.ToUnixMs());
        var facts = reads.Read(session => PlanningStore.LoadPour(session, request, models, now));
        return Task.FromResult(Planning.PlanPour.Decide(request, facts, context.CancellationToken));
    }

    public override Task<WhatIfAnswer> AskWhatIf(AskWhatIfRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Planning.AskWhatIf.CheckShape(request, now.ToUnixMs());
        var facts = reads.Read(session => PlanningStore.LoadWhatIf(session, request, models, now));
        context.CancellationToken.ThrowIfCancellationRequested();
        return Task.FromResult(Planning.AskWhatIf.Decide(request, facts, now.ToUnixMs()));
    }

    public override Task<SecondDayPlan> PlanSecondDay(PlanSecondDayRequest request, ServerCallContext context)
    {
        var now = clock.GetUtcNow();
        Planning.PlanSecondDay.CheckShape(request, now.ToUnixMs());
        var start = request.StartTime?.ToDateTimeOffset() ?? now;
        var facts = reads.Read(session => PlanningStore.LoadSecondDay(session, request.Name, start));
        return Task.FromResult(Planning.PlanSecondDay.Decide(request, facts, start.ToUnixMs()));
    }
}
