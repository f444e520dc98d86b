using Grpc.Core;
using Pourwright.Cure.Learning;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Forecasts.Learning;

/// <summary>gRPC of learning.proto.</summary>
public sealed class LearningService(StudioReads reads, ResinModels models) : V1.LearningService.LearningServiceBase
{
    /// <summary>5 and 95 % of a normal spread, in standard deviations.</summary>
    private const double Score95 = 1.6449;

    public override Task<ResinLearning> GetResinLearning(GetResinLearningRequest request, ServerCallContext context)
    {
        const string Tail = "/learning";
        var resin = request.Name.EndsWith(Tail, StringComparison.Ordinal) ? request.Name[..^Tail.Length] : "";
        new FieldChecks()
            .Require(ResourceKind.ResinSystem.Matches(resin), "name", $"must be a name like {ResourceKind.ResinSystem.Pattern}{Tail}.", request.Name)
            .ThrowIfAny();
        return Task.FromResult(reads.Read(session => Learned(session, ResinStore.GetResinSystem(session, resin))));
    }

    private ResinLearning Learned(StudioSession session, ResinSystemRecord resin)
    {
        var belief = ResinKnowledge.Load(session, resin, models).Belief;
        return new ResinLearning
        {
            Name = $"{resin.Name}/learning",
            ObservationCount = belief.Draws.Observations,
            EffectiveDrawCount = belief.Draws.Effective,
            Rate = Range(belief.Resin.RateFactor, belief.Resin.LnSd),
            Lots = { from lots in BeliefStore.Lots(session, resin.Name) where belief.Lot(lots.Lots) is not null select Pace(lots, belief.Lot(lots.Lots)!) },
        };
    }

    private static V1.LotPace Pace(LearnedLots lots, Cure.Learning.LotPace pace) => new()
    {
        Lots = { lots.Lots.Split('+') },
        PieceCount = (int)lots.PieceCount,
        ObservationCount = (int)lots.ObservationCount,
        Rate = Range(pace.RateFactor, pace.LnSd),
        Verdict = pace.Verdict switch
        {
            LotVerdict.Slow => V1.LotPace.Types.Verdict.Slow,
            LotVerdict.Quick => V1.LotPace.Types.Verdict.Quick,
            _ => V1.LotPace.Types.Verdict.Usual,
        },
    };

    private static RateRange Range(double factor, double lnSd) => new()
    {
        LowRatio = factor * Math.Exp(-Score95 * lnSd),
        LikelyRatio = factor,
        HighRatio = factor * Math.Exp(Score95 * lnSd),
    };
}
