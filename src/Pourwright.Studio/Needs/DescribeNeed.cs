using Pourwright.Cure.Readiness;
using Pourwright.Studio.Forecasts;
using Pourwright.Studio.Offerings;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.V1;

namespace Pourwright.Studio.Needs;

/// <summary>A class with all that its resin follows from.</summary>
/// <param name="Class">Its name.</param>
/// <param name="Pieces">How many are poured.</param>
/// <param name="Offering">What is taught.</param>
/// <param name="Pour">What is poured.</param>
/// <param name="PourModel">Its cure model.</param>
/// <param name="SealCoat">What the seal coat is made of.</param>
/// <param name="SealCoatModel">Its cure model.</param>
public sealed record ClassNeedFacts(
    string Class, int Pieces, OfferingRecord Offering, ResinSystemRecord Pour, ResinCureModel PourModel, ResinSystemRecord SealCoat, ResinCureModel SealCoatModel)
{
    /// <summary>Wood of one piece that was weighed: mg, kg/m³.</summary>
    public (long MassMg, double DensityKgPerM3)? Wood { get; init; }

    /// <summary>The last layer after the first, in ms.</summary>
    public long LastPourOffsetMs => Offering.Pours().Max(layer => layer.PourOffsetMs);

    /// <summary>The cure model of a batch.</summary>
    public ResinCureModel ModelOf(ResinBatch batch) => batch.Layer == 0 ? SealCoatModel : PourModel;

    /// <summary>What the resin is reckoned from, for batches that are mixed so.</summary>
    public ResinNeedFacts Facts(MixTerms terms) => new()
    {
        Pieces = Pieces,
        Mould = new()
        {
            LengthMm = Offering.LengthMm,
            WidthMm = Offering.WidthMm,
            DepthMm = Offering.DepthMm,
            WoodShare = Offering.WoodShare,
            WoodMassMg = Wood?.MassMg,
            WoodDensityKgPerM3 = Wood?.DensityKgPerM3 ?? 0,
        },
        Pour = Terms(Pour, PourModel, terms),
        SealCoat = Terms(SealCoat, SealCoatModel, terms),
        Layers = [.. Offering.Pours().Select(layer => new PlannedLayer(layer.DepthMm, layer.PourOffsetMs))],
        SealCoatGPerM2 = Offering.SealCoatGPerM2,
        LossShare = Offering.LossShare,
    };

    private static ResinTerms Terms(ResinSystemRecord system, ResinCureModel model, MixTerms terms) =>
        new(system, model.DensityKgPerM3, BatchTimes.LargestMg(model, system.MaxBatchMassMg, terms));
}

/// <summary>The resin of a class in the words of needs.proto.</summary>
public static class DescribeNeed
{
    /// <summary>Answers a question of good shape.</summary>
    public static ResinNeed Decide(ClassNeedFacts facts, MixTerms terms)
    {
        var asked = facts.Facts(terms);
        var resin = NeedResin.Decide(asked);
        var need = new ResinNeed
        {
            CastingClass = facts.Class,
            PieceCount = facts.Pieces,
            // 1 ml is 1000 mm³.
            VoidMl = resin.VoidMm3 / 1000,
            DensityKgPerM3 = asked.Pour.DensityKgPerM3,
            LossShareRatio = asked.LossShare,
            Piece = resin.Piece.ToProto(),
            PieceSealCoat = resin.SealCoat.ToProto(),
            Systems =
            {
                resin.Batches.Select(batch => batch.System.Name).Distinct()
                    .Select(system => new ResinNeed.Types.System { ResinSystem = system, Masses = resin.Total(system).ToProto() }),
            },
            Batches = { resin.Batches.Select((batch, i) => Batch(batch, i + 1, BatchTimes.WorkingHours(facts.ModelOf(batch), batch.Parts.MassMg, terms))) },
            Cautions = { Cautions(asked) },
        };
        if (asked.Pour.BatchMaxMg is { } mostMg) need.MaxBatchMassMg = mostMg;
        return need;
    }

    /// <summary>What to know of the resin of a class.</summary>
    public static IEnumerable<Caution> Cautions(ResinNeedFacts facts)
    {
        if (facts.Pour.BatchMaxMg is null)
            yield return Refusals.Cautions.Of(Reasons.BatchLimitUnknown,
                $"The data sheet of {facts.Pour.System.DisplayName} names no largest batch: none here is larger than what one piece takes at once. A larger one may run away hot; ask the maker, or give the vessel and how long it must pour.",
                ("resin_system", facts.Pour.System.Name), ("display_name", facts.Pour.System.DisplayName));
    }

    private static V1.ResinBatch Batch(ResinBatch batch, int number, double? workingHours)
    {
        var band = RatioBand.Of(batch.System, batch.Parts.AMassMg);
        return new()
        {
            BatchCount = number,
            ResinSystem = batch.System.Name,
            LayerCount = batch.Layer,
            FirstPieceCount = batch.FirstPiece,
            LastPieceCount = batch.LastPiece,
            PieceBatchCount = batch.Of,
            Masses = batch.Parts.ToProto(),
            LeastBMassMg = band.LeastMg,
            MostBMassMg = band.MostMg,
            WorkingDuration = workingHours is { } hours ? CureTerms.Hours(hours) : null,
        };
    }
}
