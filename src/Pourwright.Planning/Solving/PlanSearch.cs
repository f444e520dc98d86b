using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>
/// Large-neighbourhood search by ruin and recreate: takes out classes that are kin, puts them and those left out back one by one
/// in their cheapest ways, and keeps what is better, or not much worse while it is hot.
/// </summary>
/// <remarks>Schrimpf et al. 2000, J. Comput. Phys. 159, 139; strings along one resource and blinks as in Christiaens and
/// Vanden Berghe 2020, Transp. Sci. 54, 417 (both from memory). The numbers are chosen by hand, no source.</remarks>
internal sealed class PlanSearch
{
    private const int PointsAStudent = 1000;  // more than any class can save or cost, so that students come first
    private const double Hottest = 2500;      // about two and a half students
    private const double Coldest = 3;         // points
    private const int MostTakenOut = 9;
    private const double BlinkShare = 0.02;
    private const int DayPoints = 15;

    private readonly SeasonLoad load;
    private readonly ClassWays[] ways;
    private readonly int[] classes;
    private readonly Insertion insertion;
    private readonly Random random;
    private readonly Func<bool> blink;
    private readonly List<int> left = [], takenOut = [];
    private readonly List<Placement> before = [];
    private readonly List<int> putIn = [];
    private readonly double[] kinship;

    public PlanSearch(SeasonCase season, ClassWays[] ways, int[] classes, IEnumerable<Placement> start, int seed)
    {
        (this.ways, this.classes) = (ways, classes);
        load = new(season, ways);
        insertion = new(season, load) { DayPoints = DayPoints };
        random = new(seed);
        blink = () => random.NextDouble() < BlinkShare;
        kinship = new double[classes.Length];
        foreach (var p in start) load.Add(p);
        Best = load.Plan();
        (BestStudents, BestPoints) = (load.Students, load.Points);
    }

    public ClassPlan Best { get; private set; }

    public int BestStudents { get; private set; }

    public int BestPoints { get; private set; }

    /// <summary>Cools down once, over so many rounds.</summary>
    public void Cool(long rounds, double hotness, CancellationToken cancel)
    {
        for (var round = 0L; round < rounds && !cancel.IsCancellationRequested; round++)
            Round(Hottest * hotness * Math.Pow(Coldest / (Hottest * hotness), round / (double)rounds));
    }

    private void Round(double temperature)
    {
        var (students, points) = (load.Students, load.Points);
        TakeOut();
        PutBack();
        var gain = (load.Students - students) * (double)PointsAStudent - (load.Points - points);
        if (gain < temperature * Math.Log(1 - random.NextDouble())) Undo();
        else if (load.Students > BestStudents || load.Students == BestStudents && load.Points < BestPoints)
            (Best, BestStudents, BestPoints) = (load.Plan(), load.Students, load.Points);
    }

    private void TakeOut()
    {
        before.Clear();
        var focus = Focus();
        var at = focus.Sites[random.Next(focus.Sites.Length)];
        var pour = at.Pours[random.Next(at.Pours.Length)];
        var machine = at.Machines[pour.FirstMachine + random.Next(pour.RiskPoints.Length)];
        var day = random.Next(3) switch
        {
            0 => pour.Day,
            1 => machine.Day,
            _ => at.Finishes.Length == 0 ? machine.Day : at.Finishes[random.Next(machine.FirstFinish, machine.EndFinish)] / 2,
        };
        var kind = random.Next(3);
        var who = at.Instructors[random.Next(at.Instructors.Length)];
        for (var k = 0; k < classes.Length; k++)
            kinship[k] = load.Of(classes[k]) is { } p ? Distance(p, kind, at.Site, who, day) + random.NextDouble() : double.MaxValue;
        for (var count = 1 + random.Next(MostTakenOut); count > 0; count--)
        {
            var nearest = Array.IndexOf(kinship, kinship.Min());
            if (kinship[nearest] >= double.MaxValue) break;
            kinship[nearest] = double.MaxValue;
            before.Add(load.Remove(classes[nearest]));
        }
        if (load.Of(focus.Class) is not null) before.Add(load.Remove(focus.Class));
    }

    private ClassWays Focus()
    {
        left.Clear();
        foreach (var c in classes)
            if (load.Of(c) is null) left.Add(c);
        return ways[left.Count > 0 && random.Next(4) > 0 ? left[random.Next(left.Count)] : classes[random.Next(classes.Length)]];
    }

    // Days away of the nearest session, far where the class has no part in the site or the person.
    private static double Distance(Placement p, int kind, int site, int who, int day)
    {
        const double elsewhere = 1e6;
        return kind switch
        {
            0 => p.Site == site ? Nearest(p, day, -1) : elsewhere + Nearest(p, day, -1),
            1 => Nearest(p, day, who),
            _ => Nearest(p, day, -1),
        };
    }

    private static double Nearest(Placement p, int day, int who)
    {
        const double noPart = 1e6;
        double Of(Attendance? session) => session is null || who >= 0 && session.Instructor != who ? noPart : Math.Abs(session.Day - day);
        return Math.Min(Of(p.Pour), Math.Min(Of(p.Machine), Of(p.Finish)));
    }

    private void PutBack()
    {
        putIn.Clear();
        takenOut.Clear();
        takenOut.AddRange(left);
        foreach (var p in before) takenOut.Add(p.Class);
        Sort();
        foreach (var c in takenOut)
            if (insertion.Cheapest(ways[c], blink) is { } way)
            {
                load.Add(way);
                putIn.Add(c);
            }
    }

    private void Sort()
    {
        for (var k = takenOut.Count - 1; k > 0; k--)
        {
            var other = random.Next(k + 1);
            (takenOut[k], takenOut[other]) = (takenOut[other], takenOut[k]);
        }
        switch (random.Next(4))
        {
            case 0: takenOut.Sort((a, b) => ways[b].Request.Students.CompareTo(ways[a].Request.Students)); break;
            case 1: takenOut.Sort((a, b) => ways[a].Count.CompareTo(ways[b].Count)); break;
        }
    }

    private void Undo()
    {
        foreach (var c in putIn) load.Remove(c);
        foreach (var p in before) load.Add(p);
    }
}
