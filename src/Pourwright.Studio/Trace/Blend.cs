using Pourwright.Studio.Lots;

namespace Pourwright.Studio.Trace;

/// <summary>What a vessel holds, in milligrams by lot; taken out in proportion, so that every share is whole and their sum is exact.</summary>
/// <remarks>
/// A vessel is taken to be well stirred: what leaves it has the proportions of what is in it. Shares are rounded by the
/// largest remainder (Hamilton's method; ties go to the lot whose name comes first), so they add up to the mass that
/// moved, and no share is more than what the vessel holds of that lot.
/// An emptied vessel keeps its last proportions: what a scale finds in it afterwards is residue of the same lots.
/// </remarks>
public sealed class Blend
{
    /// <summary>The lot of mass whose origin is not recorded.</summary>
    public const string UnknownLot = "";

    private readonly SortedDictionary<string, long> _held = new(StringComparer.Ordinal);
    private IReadOnlyList<LotShare> _lastHeld = [new(UnknownLot, 1)];

    /// <summary>Milligrams in all.</summary>
    public long TotalMg { get; private set; }

    /// <summary>What it holds of each lot, in the order of their names.</summary>
    public IReadOnlyList<LotShare> Held => [.. _held.Select(part => new LotShare(part.Key, part.Value))];

    /// <summary>Milligrams of one lot; 0 where there is none.</summary>
    public long MassMgOf(string lot) => _held.GetValueOrDefault(lot);

    /// <summary>Puts milligrams of a lot in.</summary>
    public void Add(string lot, long massMg)
    {
        _held[lot] = MassMgOf(lot) + massMg;
        TotalMg += massMg;
    }

    /// <summary>Puts shares in.</summary>
    public void Add(IEnumerable<LotShare> shares)
    {
        foreach (var (lot, massMg) in shares) Add(lot, massMg);
    }

    /// <summary>Takes milligrams out, in proportion.</summary>
    /// <exception cref="ArgumentOutOfRangeException">More than the vessel holds, or less than nothing.</exception>
    public IReadOnlyList<LotShare> Take(long massMg)
    {
        if (massMg < 0 || massMg > TotalMg)
            throw new ArgumentOutOfRangeException(nameof(massMg), massMg, $"The vessel holds {TotalMg} mg by its events; take 0 to that much.");
        var shares = Split(massMg);
        if (TotalMg > 0) _lastHeld = Held;
        foreach (var (lot, shareMg) in shares) Add(lot, -shareMg);
        return shares;
    }

    /// <summary>Splits milligrams in the proportions of what the vessel holds, or held last, without moving them.</summary>
    public IReadOnlyList<LotShare> Split(long massMg)
    {
        var parts = TotalMg > 0 ? Held : _lastHeld;
        var whole = LargestRemainder.Split(massMg, [.. parts.Select(part => part.MassMg)]);
        return [.. parts.Select((part, index) => new LotShare(part.Lot, whole[index])).Where(share => share.MassMg > 0)];
    }
}

/// <summary>Milligrams of one lot.</summary>
public sealed record LotShare(string Lot, long MassMg);
