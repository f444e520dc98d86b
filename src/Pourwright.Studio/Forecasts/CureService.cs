using Grpc.Core;
using Pourwright.Cure.DataSheets;
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
        return Task.FromResult(Forecasts.PredictCure.Answer(request, Calibration(request)));
    }

    private SheetCalibration Calibration(PredictCureRequest request) => request.ResinSystem.Length == 0
        ? models.Of(request.CureClass)
        : models.Of(reads.Read(session => ResinStore.GetResinSystem(session, request.ResinSystem)));
}
