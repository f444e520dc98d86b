using System.Globalization;

namespace Pourwright.Evidence.Watch;

/// <summary>One inspected piece of a site.</summary>
public sealed record Inspection(string Site, string Piece, bool IsDefective);

/// <summary>Too many defects in a row of inspections.</summary>
/// <param name="FirstPiece">With which the sum last left 0: the change is most likely as old as that.</param>
/// <param name="LastPiece">With which it called.</param>
public sealed record SiteAlarm(string Site, string FirstPiece, string LastPiece, int Pieces, int Defective, BernoulliCusum Cusum)
{
    // The rate the usual steps take for ordinary; a site that is worse for good is called more often.
    private const double UsualRate = 0.05;

    /// <summary>What people are told; counts first, then how often it would be nothing.</summary>
    public string Words => string.Create(CultureInfo.InvariantCulture,
        $"{Site}: {Defective} of {Pieces} pieces inspected in a row are defective, from {FirstPiece} to {LastPiece}. With one piece in twenty defective as usual, this would be said about once in {Cusum.MeanPiecesToAlarm(UsualRate):0} pieces though nothing had changed.");
}

/// <summary>How a site stands after its last inspection.</summary>
/// <param name="Sum">Of the cusum; it calls at its limit and begins anew at 0.</param>
/// <param name="FirstPiece">With which the sum last left 0; null while it is 0.</param>
/// <param name="Pieces">From that piece on.</param>
/// <param name="Alarms">First to last.</param>
public sealed record SiteState(string Site, int Sum, string? FirstPiece, int Pieces, int Defective, IReadOnlyList<SiteAlarm> Alarms);

/// <summary>Every site by itself, since sites are inspected in an order of their own.</summary>
public static class SiteWatch
{
    /// <summary>The alarms, in the order in which they were called; after one the sum of its site begins anew.</summary>
    /// <param name="inspections">In the order of inspection.</param>
    public static IReadOnlyList<SiteAlarm> Alarms(IEnumerable<Inspection> inspections, BernoulliCusum? cusum = null)
    {
        var alarms = new List<SiteAlarm>();
        Follow(inspections, cusum ?? new(), alarms);
        return alarms;
    }

    /// <summary>How each site stands, sites in the order of their first inspection.</summary>
    /// <param name="inspections">In the order of inspection.</param>
    public static IReadOnlyList<SiteState> States(IEnumerable<Inspection> inspections, BernoulliCusum? cusum = null)
    {
        var alarms = new List<SiteAlarm>();
        return [.. Follow(inspections, cusum ?? new(), alarms).Select(run => run.State([.. alarms.Where(alarm => alarm.Site == run.Site)]))];
    }

    private static OrderedDictionary<string, Run>.ValueCollection Follow(IEnumerable<Inspection> inspections, BernoulliCusum cusum, List<SiteAlarm> alarms)
    {
        var runs = new OrderedDictionary<string, Run>();
        foreach (var inspection in inspections)
        {
            if (!runs.TryGetValue(inspection.Site, out var run))
                runs[inspection.Site] = run = new(inspection.Site, cusum);
            if (run.Add(inspection) is { } alarm)
                alarms.Add(alarm);
        }
        return runs.Values;
    }

    private sealed class Run(string site, BernoulliCusum cusum)
    {
        private readonly List<Inspection> since = [];
        private int sum;

        public string Site => site;

        public SiteState State(IReadOnlyList<SiteAlarm> alarms) =>
            new(site, sum, since is [var first, ..] ? first.Piece : null, since.Count, since.Count(i => i.IsDefective), alarms);

        public SiteAlarm? Add(Inspection inspection)
        {
            since.Add(inspection);
            sum = cusum.Next(sum, inspection.IsDefective);
            var alarm = sum < cusum.Limit ? null
                : new SiteAlarm(site, since[0].Piece, inspection.Piece, since.Count, since.Count(i => i.IsDefective), cusum);
            if (alarm is not null || sum == 0)
                Restart();
            return alarm;
        }

        private void Restart()
        {
            sum = 0;
            since.Clear();
        }
    }
}
