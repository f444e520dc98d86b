using Pourwright.Planning.Season;

namespace Pourwright.Planning.Explaining;

/// <summary>
/// Collects of all placements those that break inclusion-minimal sets of rules: at each site the least strained of a set.
/// </summary>
internal sealed class SmallestChanges(int sites)
{
    private readonly List<Entry> entries = [];

    public IEnumerable<RuleSet> Sets => entries.Select(entry => new RuleSet(entry.Bits));

    public Placement? Fits => entries.Find(entry => entry.Bits == 0)?.Ways.OfType<Placement>().FirstOrDefault();

    /// <summary>Each set with a placement for each site that can do with it, the least strained first.</summary>
    public IEnumerable<(RuleSet Rules, IReadOnlyList<(double Strain, Placement Placement)> Ways)> All => entries
        .OrderBy(entry => entry.Bits)
        .Select(entry => (
            new RuleSet(entry.Bits),
            (IReadOnlyList<(double, Placement)>)[.. entry.Ways
                .Select((way, site) => (Strain: entry.Strain[site], Placement: way))
                .Where(way => way.Placement is not null)
                .OrderBy(way => way.Strain)
                .Select(way => (way.Strain, way.Placement!))]));

    /// <summary>Whether nothing that breaks at least these rules and strains at least so much can be of use at the site.</summary>
    public bool Covers(int bits, int site, double strain)
    {
        foreach (var entry in entries)
            if ((entry.Bits & ~bits) == 0 && (entry.Bits != bits || entry.Strain[site] <= strain))
                return true;
        return false;
    }

    /// <summary>Takes what <see cref="Covers"/> does not.</summary>
    public void Take(int bits, double strain, Placement way)
    {
        entries.RemoveAll(entry => entry.Bits != bits && (bits & ~entry.Bits) == 0);
        var mine = entries.Find(entry => entry.Bits == bits);
        if (mine is null)
            entries.Add(mine = new(bits, sites));
        (mine.Strain[way.Site], mine.Ways[way.Site]) = (strain, way);
    }

    private sealed class Entry(int bits, int sites)
    {
        public int Bits { get; } = bits;

        public double[] Strain { get; } = [.. Enumerable.Repeat(double.PositiveInfinity, sites)];

        public Placement?[] Ways { get; } = new Placement?[sites];
    }
}
