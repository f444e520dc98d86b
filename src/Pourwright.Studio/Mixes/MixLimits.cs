using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;
using Pourwright.Studio.Resins;
using Pourwright.V1;
using Basis = Pourwright.V1.ResinSystem.Types.Basis;
using LimitAction = Pourwright.V1.ResinSystem.Types.LimitAction;

namespace Pourwright.Studio.Mixes;

/// <summary>Where a mix is refused, and where it is let through with a caution. No limit passed: null.</summary>
public static class MixLimits
{
    /// <exception cref="Refusal">RATIO_OUT_OF_TOLERANCE where no <paramref name="deviationReason"/> says that it is known.</exception>
    public static Caution? Ratio(MixRatio ratio, string deviationReason)
    {
        if (ratio.IsInTolerance) return null;
        var (part, massMg) = ratio.WayOut();
        var system = ratio.System;
        (string, string)[] facts =
        [
            ("resin_system", system.Name),
            ("basis", $"{system.Basis}"),
            ("hardener_parts_per_100_resin", $"{ratio.HardenerPartsPer100Resin:0.##}"),
            ("target_parts_per_100_resin", $"{system.HardenerPartsPer100Resin:0.##}"),
            ("deviation_percent", $"{ratio.DeviationPercent:+0.0;-0.0}"),
            ("tolerance_percent", $"{system.RatioTolerancePercent:0.##}"),
            ("add_part", $"{part}"),
            ("add_mass_mg", $"{massMg}"),
        ];
        var found = $"Hardener is {ratio.HardenerPartsPer100Resin:0.##} parts for 100 of resin by {Word(system.Basis)}, target {system.HardenerPartsPer100Resin:0.##}: {ratio.DeviationPercent:+0.0;-0.0} %, tolerance {system.RatioTolerancePercent:0.##} %.{OtherBasis(ratio)}";
        var wayOut = $"{Amounts.Grams(massMg)} more of part {part} bring it right.";
        return deviationReason.Length > 0
            ? Cautions.Of(Reasons.RatioOutOfTolerance, $"{found} If it is not poured yet: {wayOut} Off ratio it may never harden; more hardener does not speed it up.", facts)
            : throw Refusal.Precondition(Reasons.RatioOutOfTolerance, $"{found} {wayOut} If it was poured as it is, record it with a deviation_reason.", facts);
    }

    /// <exception cref="Refusal">BATCH_TOO_LARGE where the limit refuses and no <paramref name="deviationReason"/> is given.</exception>
    public static Caution? Batch(ResinSystemRecord system, long massMg, string deviationReason)
    {
        if (system.MaxBatchMassMg is not { } maxMassMg || massMg <= maxMassMg) return null;
        (string, string)[] facts = [("resin_system", system.Name), ("display_name", system.DisplayName), ("mass_mg", $"{massMg}"), ("max_batch_mass_mg", $"{maxMassMg}")];
        var found = $"The batch weighs {Amounts.Grams(massMg)}; {system.DisplayName} allows {Amounts.Grams(maxMassMg)} in one vessel, more may run away hot.";
        return system.BatchLimitAction == LimitAction.Refuse && deviationReason.Length == 0
            ? throw Refusal.Precondition(Reasons.BatchTooLarge, $"{found} Split it. If it is mixed already, spread it out shallow and record it with a deviation_reason.", facts)
            : Cautions.Of(Reasons.BatchTooLarge, $"{found} Spread it out shallow at once and watch it; keep people away from the fumes of a hot one.", facts);
    }

    /// <summary>Several lots of one part in a mix: a fault of one of them cannot be told from the others.</summary>
    public static Caution? SeveralLots(IReadOnlyList<ContainerContents> containers, Part part)
    {
        var lots = containers.Where(contents => contents.Container.Part == part)
            .SelectMany(contents => contents.Lots).Select(lot => lot.Name).Distinct().Order(StringComparer.Ordinal).ToList();
        return lots.Count < 2
            ? null
            : Cautions.Of(Reasons.SeveralLots,
                $"Part {part} comes from {lots.Count} lots ({string.Join(", ", lots.Select(ResourceNames.IdOf))}): if one is at fault, every piece of this mix is suspect. Give a class one lot of each part where you can.",
                ("part", $"{part}"), ("lot_count", $"{lots.Count}"), ("lots", string.Join(", ", lots)));
    }

    /// <summary>A sealed container that was drawn from counts as opened at the mix.</summary>
    public static Caution? Opened(ContainerRecord container) => container.State != Container.Types.State.Sealed
        ? null
        : Cautions.Of(Reasons.ContainerOpened,
            $"{container.Label} was sealed and counts as opened with this mix; its opened shelf life has begun. Check that it is the container you drew from.",
            ("container", container.Name));

    private static string OtherBasis(MixRatio ratio) => !ratio.FitsOtherBasis
        ? ""
        : ratio.System.Basis == Basis.Volume
            ? " The masses stand in the ratio that counts for volumes: it was weighed as if it were by mass."
            : " The volumes stand in the ratio that counts for masses: it was measured as if it were by volume.";

    private static string Word(Basis basis) => basis == Basis.Volume ? "volume" : "mass";
}
