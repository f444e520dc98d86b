using Pourwright.Studio.Lots;
using Pourwright.Studio.Names;
using Pourwright.Studio.Refusals;

namespace Pourwright.Studio.Mixes;

/// <summary>Records what was left in the vessel as waste.</summary>
public static class DiscardMix
{
    /// <summary>The mix after it, with less left.</summary>
    /// <exception cref="Refusal">MIX_SHORT.</exception>
    public static MixRecord Decide(MixRecord mix, long massMg) => massMg <= mix.RemainingMassMg
        ? mix with { RemainingMassMg = mix.RemainingMassMg - massMg }
        : throw Refusal.Precondition(Reasons.MixShort,
            $"{ResourceNames.IdOf(mix.Name)} has {Amounts.Grams(mix.RemainingMassMg)} left, neither poured nor thrown away; {Amounts.Grams(massMg)} were asked for. Throw away that much at most; a pour may be missing its record.",
            ("mix", mix.Name), ("remaining_mass_mg", $"{mix.RemainingMassMg}"), ("mass_mg", $"{massMg}"));
}
