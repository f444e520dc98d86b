using Pourwright.Evidence.Counts;

namespace Pourwright.Evidence.Watch;

/// <summary>Pieces inspected together, such as a week's or a class's.</summary>
public sealed record InspectedGroup(string Name, int Pieces, int Defective);

/// <summary>Where a group stands on the chart.</summary>
/// <param name="FewestUsual">Counts of defective pieces below it are too few to be usual.</param>
/// <param name="MostUsual">Counts of defective pieces above it are too many to be usual.</param>
public sealed record ChartedGroup(InspectedGroup Group, int FewestUsual, int MostUsual)
{
    public double Share => (double)Group.Defective / Group.Pieces;
    public bool IsOut => Group.Defective < FewestUsual || Group.Defective > MostUsual;
}

/// <summary>A chart of shares of defective pieces with limits in whole pieces.</summary>
/// <remarks>
/// The usual limits p̄ ± 3 √(p̄(1 − p̄)/n) need large groups; classes are small, so limits here are those counts beyond which the
/// binomial distribution leaves no more than the 0.00135 that a normal one leaves beyond three standard deviations. Shape of
/// the chart: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.3.2.
/// </remarks>
public sealed record PChart(double MeanShare, IReadOnlyList<ChartedGroup> Groups)
{
    private const double Beyond = 0.00135;

    public IEnumerable<ChartedGroup> Out => Groups.Where(g => g.IsOut);

    /// <param name="groups">In order of time; empty ones are left out.</param>
    /// <param name="usualShare">0 to 1, from an earlier time that was in order; the groups' own mean where absent.</param>
    /// <exception cref="ArgumentException">No pieces at all and no usual share.</exception>
    public static PChart Of(IEnumerable<InspectedGroup> groups, double? usualShare = null)
    {
        var filled = groups.Where(g => g.Pieces > 0).ToArray();
        if (filled.Length == 0 && usualShare is null)
            throw new ArgumentException("No pieces in any group: give at least one, or the usual share.", nameof(groups));
        var mean = usualShare ?? (double)filled.Sum(g => g.Defective) / filled.Sum(g => g.Pieces);
        return new(mean, [.. filled.Select(g => Chart(g, mean))]);
    }

    private static ChartedGroup Chart(InspectedGroup group, double mean) => new(group,
        Enumerable.Range(0, group.Pieces + 1).First(count => Proportion.AtMost(count, group.Pieces, mean) > Beyond),
        Enumerable.Range(0, group.Pieces + 1).Last(count => Proportion.AtLeast(count, group.Pieces, mean) > Beyond));
}
