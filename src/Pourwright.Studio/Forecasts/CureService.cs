using Grpc.Core;
using Pourwright.Studio.Forecasts.Learning;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts;

/// <summary>gRPC of cure.proto.</summary>
public sealed class CureService(StudioReads reads, ResinModels models) : V1.CureService.CureServiceBase
{
    public override Task<CurePrediction> PredictCure(PredictCureRequest request, ServerCallContext context)
    {
        Forecasts.PredictCure.CheckShape(request);
        return Task.FromResult(Forecasts.PredictCure.Answer(request, Known(request)));
    }

    private ResinKnowledge Known(PredictCureRequest request) => request.ResinSystem.Length == 0
        ? ResinKnowledge.Of(models.Of(request.CureClass))
        : reads.Read(session => ResinKnowledge.Load(session, ResinStore.GetResinSystem(session, request.ResinSystem), models));
}
