using Grpc.Core;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts;

/// <summary>gRPC of cure.proto.</summary>
public sealed class CureService(StudioReads reads) : V1.CureService.CureServiceBase
{
    public override Task<CurePrediction> PredictCure(PredictCureRequest request, ServerCallContext context)
    {
        Forecasts.PredictCure.CheckShape(request);
        return Task.FromResult(Forecasts.PredictCure.Answer(request, CureTerms.Model(CureClass(request))));
    }

    private ResinSystem.Types.CureClass CureClass(PredictCureRequest request) => request.ResinSystem.Length == 0
        ? request.CureClass
        : reads.Read(session => ResinStore.GetResinSystem(session, request.ResinSystem).CureClass);
}
