using System.Globalization;
using Google.OrTools.Sat;
using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>Some classes of a season as a constraint model, all others staying as a load has them.</summary>
/// <remarks>
/// One variable for each pair of pour slot and machine day, so that gap, bench and risk are linear; one for each finish slot; one for
/// each session, time and person; one for each day on which a person begins to teach at a site. What the load leaves no room for is
/// never made a variable. Hints are complete: with some variables left out the solver was seen to find nothing at all.
/// </remarks>
internal sealed class PlacementModel
{
    private readonly CpModel model = new();
    private readonly SeasonCase season;
    private readonly SeasonLoad load;
    private readonly List<ClassVariables> classes = [];
    private readonly Dictionary<(int Instructor, int Site, int Day), BoolVar> begins = [];
    private readonly Dictionary<(string What, int Site, int When, int Rank), (LinearExprBuilder Sum, long Left)> places = [];
    private readonly Dictionary<(int Instructor, int Slot), List<BoolVar>> diaries = [];

    /// <param name="season">What is planned.</param>
    /// <param name="free">Ways of the classes that the model places.</param>
    /// <param name="load">Without these classes.</param>
    public PlacementModel(SeasonCase season, IEnumerable<ClassWays> free, SeasonLoad load)
    {
        (this.season, this.load) = (season, load);
        foreach (var ways in free) classes.Add(Class(ways));
        foreach (var (sum, left) in places.Values) model.Add(sum <= left);
        foreach (var sessions in diaries.Values.Where(sessions => sessions.Count > 1)) model.AddAtMostOne(sessions);
        Diaries();
    }

    private sealed record PairVariable(SiteWays At, PourWay Pour, int MachineDay, int Points, BoolVar Is);

    private sealed record SessionVariable(int Kind, int Site, int Slot, int Instructor, BoolVar Is);

    private sealed record FinishVariable(int Site, int Slot, BoolVar Is);

    private sealed record ClassVariables(ClassWays Ways, BoolVar Held, List<PairVariable> Pairs, List<FinishVariable> Finishes,
        List<SessionVariable> Sessions, BoolVar[] Substitutes);

    public LinearExpr Students => Sum(classes.Select(c => (c.Held, (long)c.Ways.Request.Students)));

    public LinearExpr Points => Sum(
        classes.SelectMany(c => c.Pairs.Select(pair => (pair.Is, (long)pair.Points)))
            .Concat(begins.Select(day => (day.Value, (long)PlanPoints.TravelOf(season, day.Key.Instructor, day.Key.Site))))
            .Concat(classes.SelectMany(c => c.Substitutes.Select(substitute => (substitute, (long)season.Terms.SubstitutePoints)))));

    /// <summary>Sessions of a plan at another time or place (1 each) or with another person (2 each).</summary>
    public LinearExpr Changes(IReadOnlyDictionary<int, Placement> from) => Sum(classes.Where(c => from.ContainsKey(c.Ways.Class)).SelectMany(c =>
    {
        var was = from[c.Ways.Class];
        return c.Sessions.Select(session => (session.Is, Change(was, session)));
    }));

    /// <summary>Takes sessions away: of a class, its kind (0 the pour, 1 the machine day, 2 the finish), at a site, when and by whom.</summary>
    public void Forbid(Func<int, int, int, Attendance, bool> forbids)
    {
        foreach (var c in classes)
            foreach (var session in c.Sessions)
                if (forbids(c.Ways.Class, session.Kind, session.Site, new(session.Slot, session.Instructor))) model.Add(session.Is == 0);
    }

    /// <summary>Holds these of the classes, whatever else it costs.</summary>
    public void Hold(IReadOnlySet<int> held) => model.AddBoolAnd(classes.Where(c => held.Contains(c.Ways.Class)).Select(c => c.Held));

    public void Add(BoundedLinearExpression constraint) => model.Add(constraint);

    public void HoldAll() => model.AddBoolAnd(classes.Select(c => c.Held));

    public void Maximize(LinearExpr what) => model.Maximize(what);

    public void Minimize(LinearExpr what) => model.Minimize(what);

    /// <summary>Gives every variable the value that it has in these placements.</summary>
    public void Hint(IReadOnlyDictionary<int, Placement> plan)
    {
        model.ClearHints();
        foreach (var c in classes) Hint(c, plan.GetValueOrDefault(c.Ways.Class));
        var taught = classes.Select(c => plan.GetValueOrDefault(c.Ways.Class)).OfType<Placement>()
            .SelectMany(p => p.Sessions.Select(session => (session.Instructor, p.Site, session.Day))).ToHashSet();
        foreach (var (day, begun) in begins) model.AddHint(begun, taught.Contains(day));
    }

    /// <summary>Solves on one core, with so much work at most.</summary>
    public SolvedModel Solve(double deterministicSeconds, int seed, CancellationToken cancel)
    {
        using var solver = new CpSolver();
        solver.StringParameters = string.Create(CultureInfo.InvariantCulture,
            $"num_workers:1,random_seed:{seed},max_deterministic_time:{deterministicSeconds}");
        using var stop = cancel.Register(solver.StopSearch);
        var status = cancel.IsCancellationRequested ? CpSolverStatus.Unknown : solver.Solve(model);
        var found = status is CpSolverStatus.Optimal or CpSolverStatus.Feasible;
        return new(status == CpSolverStatus.Optimal, status == CpSolverStatus.Infeasible,
            found ? [.. classes.Select(c => Read(c, solver)).OfType<Placement>()] : null,
            status is CpSolverStatus.Unknown or CpSolverStatus.ModelInvalid ? null : solver.BestObjectiveBound);
    }

    private ClassVariables Class(ClassWays ways)
    {
        ClassVariables made = new(ways, Bool(), [], [], [], [Bool(), .. ways.Offering.Finish is null ? Array.Empty<BoolVar>() : [Bool()]]);
        foreach (var at in ways.Sites) Site(made, at);
        model.AddExactlyOne(made.Pairs.Select(pair => pair.Is).Append((ILiteral)made.Held.Not()));
        for (var kind = 1; kind <= made.Substitutes.Length; kind++)
            foreach (var person in made.Sessions.Where(session => session.Kind == kind).GroupBy(session => session.Instructor))
                model.Add(Sum(person.Select(session => session.Is)) - Sum(made.Sessions.Where(s => s.Kind == 0 && s.Instructor == person.Key).Select(s => s.Is))
                    <= made.Substitutes[kind - 1]);
        return made;
    }

    private void Site(ClassVariables made, SiteWays at)
    {
        bool Machines(MachineWay m) => load.MachinesFree(at, m.Day) && load.RoomFree(at, 2 * m.Day) && load.RoomFree(at, 2 * m.Day + 1)
            && load.Free(at, 2 * m.Day, 2 * m.Day + 1) != 0;
        var open = at.Machines.Select(Machines).ToArray();
        List<PairVariable> pairs = [];
        foreach (var pour in at.Pours)
            if (load.RoomFree(at, pour.Slot) && load.Free(at, pour.Slot, pour.Slot) != 0)
                pairs.AddRange(Pairs(at, pour, open));
        if (pairs.Count == 0) return;
        made.Pairs.AddRange(pairs);
        foreach (var pour in pairs.GroupBy(pair => pair.Pour.Slot))
            Session(made, at, 0, pour.Key, pour.Key, [.. pour.Select(pair => pair.Is)]);
        foreach (var day in pairs.GroupBy(pair => pair.MachineDay))
            Session(made, at, 1, 2 * day.Key, 2 * day.Key + 1, [.. day.Select(pair => pair.Is)]);
        Use(at, pairs);
        if (made.Ways.Offering.Finish is not null) Finishes(made, at, pairs);
    }

    private IEnumerable<PairVariable> Pairs(SiteWays at, PourWay pour, bool[] open)
    {
        var day = pour.Day;
        for (var k = 0; k < pour.RiskPoints.Length; k++)
        {
            var machine = at.Machines[pour.FirstMachine + k];
            for (; day <= machine.Day; day++)
                if (!load.BenchFree(at, day)) yield break;
            if (open[pour.FirstMachine + k]) yield return new(at, pour, machine.Day, pour.Points + pour.RiskPoints[k], Bool());
        }
    }

    private void Finishes(ClassVariables made, SiteWays at, List<PairVariable> pairs)
    {
        Dictionary<int, FinishVariable> finishes = [];
        foreach (var slot in at.Finishes)
            if (load.RoomFree(at, slot) && load.Free(at, slot, slot) != 0) finishes[slot] = new(at.Site, slot, Bool());
        made.Finishes.AddRange(finishes.Values);
        model.Add(Sum(finishes.Values.Select(f => f.Is)) == Sum(pairs.Select(pair => pair.Is)));
        var ranges = at.Machines.ToDictionary(m => m.Day, m => at.Finishes[m.FirstFinish..m.EndFinish]);
        foreach (var day in pairs.GroupBy(pair => pair.MachineDay))
            model.Add(Sum(day.Select(pair => pair.Is)) <= Sum(ranges[day.Key].Where(finishes.ContainsKey).Select(slot => finishes[slot].Is)));
        foreach (var f in finishes.Values)
        {
            model.Add(f.Is <= Sum(pairs.Where(pair => ranges[pair.MachineDay].Contains(f.Slot)).Select(pair => pair.Is)));
            Session(made, at, 2, f.Slot, f.Slot, [f.Is]);
        }
    }

    // Who teaches, and the room of each half day.
    private void Session(ClassVariables made, SiteWays at, int kind, int firstSlot, int lastSlot, BoolVar[] when)
    {
        List<BoolVar> people = [];
        for (var (free, k) = (load.Free(at, firstSlot, lastSlot), 0); free != 0; free >>= 1, k++)
        {
            if ((free & 1) == 0) continue;
            var (who, taught) = (at.Instructors[k], Bool());
            people.Add(taught);
            made.Sessions.Add(new(kind, at.Site, firstSlot, who, taught));
            for (var slot = firstSlot; slot <= lastSlot; slot++) Diary(who, slot).Add(taught);
            if (!load.Teaches(who, firstSlot / 2)) model.AddImplication(taught, Begins(who, at.Site, firstSlot / 2));
        }
        model.Add(Sum(people) == Sum(when));
        for (var slot = firstSlot; slot <= lastSlot; slot++)
            for (var rank = 0; rank <= at.RoomRank; rank++)
                foreach (var is_ in when) Place("room", at.Site, slot, rank, load.RoomsLeft(at.Site, slot, rank)).AddTerm(is_, 1);
    }

    private void Use(SiteWays at, List<PairVariable> pairs)
    {
        foreach (var pair in pairs)
        {
            for (var day = pair.Pour.Day; day <= pair.MachineDay; day++)
                Place("bench", at.Site, day, 0, load.BenchLeft(at.Site, day)).AddTerm(pair.Is, at.Pieces);
            Place("planer", at.Site, pair.MachineDay, 0, load.PlanerLeft(at.Site, pair.MachineDay)).AddTerm(pair.Is, at.PlanerMinutes);
            Place("saw", at.Site, pair.MachineDay, 0, load.SawLeft(at.Site, pair.MachineDay)).AddTerm(pair.Is, at.SawMinutes);
            Place("sanding", at.Site, pair.MachineDay, 0, load.SandingLeft(at.Site, pair.MachineDay)).AddTerm(pair.Is, at.Students);
        }
    }

    private void Diaries()
    {
        foreach (var day in begins.GroupBy(b => (b.Key.Instructor, b.Key.Day)).Where(day => day.Count() > 1))
            model.AddAtMostOne(day.Select(b => b.Value));
        foreach (var week in begins.GroupBy(b => (b.Key.Instructor, season.Week(b.Key.Day))))
            model.Add(Sum(week.Select(b => b.Value)) <= load.DaysLeft(week.Key.Instructor, week.First().Key.Day));
        foreach (var (evening, one) in begins)
            foreach (var to in Enumerable.Range(0, season.Sites.Count))
                if (season.TravelMinutes[evening.Site][to] > season.Terms.OvernightMinutes
                    && begins.TryGetValue((evening.Instructor, to, evening.Day + 1), out var other)) model.AddBoolOr([one.Not(), other.Not()]);
    }

    private void Hint(ClassVariables c, Placement? p)
    {
        model.AddHint(c.Held, p is not null);
        foreach (var pair in c.Pairs)
            model.AddHint(pair.Is, p is not null && pair.At.Site == p.Site && pair.Pour.Slot == p.Pour.Slot && pair.MachineDay == p.Machine.Day);
        foreach (var f in c.Finishes) model.AddHint(f.Is, p is not null && f.Site == p.Site && f.Slot == p.Finish?.Slot);
        foreach (var session in c.Sessions)
            model.AddHint(session.Is, p is not null && session.Site == p.Site && Of(p, session.Kind) == new Attendance(session.Slot, session.Instructor));
        for (var kind = 1; kind <= c.Substitutes.Length; kind++)
            model.AddHint(c.Substitutes[kind - 1], p is not null && Of(p, kind)!.Instructor != p.Pour.Instructor);
    }

    private static Placement? Read(ClassVariables c, CpSolver solver)
    {
        if (!solver.BooleanValue(c.Held)) return null;
        var taught = c.Sessions.Where(session => solver.BooleanValue(session.Is)).ToDictionary(s => s.Kind, s => new Attendance(s.Slot, s.Instructor));
        return new(c.Ways.Class, c.Pairs.First(pair => solver.BooleanValue(pair.Is)).At.Site, taught[0], taught[1], taught.GetValueOrDefault(2));
    }

    private static Attendance? Of(Placement p, int kind) => kind switch { 0 => p.Pour, 1 => p.Machine, _ => p.Finish };

    private static long Change(Placement was, SessionVariable session)
    {
        var before = Of(was, session.Kind);
        return (before?.Slot != session.Slot || was.Site != session.Site ? 1 : 0) + (before?.Instructor != session.Instructor ? 2 : 0);
    }

    private BoolVar Bool() => model.NewBoolVar("");

    private BoolVar Begins(int who, int site, int day) =>
        begins.TryGetValue((who, site, day), out var begun) ? begun : begins[(who, site, day)] = Bool();

    private List<BoolVar> Diary(int who, int slot) =>
        diaries.TryGetValue((who, slot), out var sessions) ? sessions : diaries[(who, slot)] = [];

    private LinearExprBuilder Place(string what, int site, int when, int rank, long left)
    {
        if (!places.TryGetValue((what, site, when, rank), out var place))
            places[(what, site, when, rank)] = place = (LinearExpr.NewBuilder(), left);
        return place.Sum;
    }

    private static LinearExprBuilder Sum(IEnumerable<BoolVar> of) => Sum(of.Select(is_ => (is_, 1L)));

    private static LinearExprBuilder Sum(IEnumerable<(BoolVar Is, long Times)> of)
    {
        var sum = LinearExpr.NewBuilder();
        foreach (var (is_, times) in of) sum.AddTerm(is_, times);
        return sum;
    }
}

/// <summary>What came of a model.</summary>
/// <param name="Proved">Nothing better exists.</param>
/// <param name="Impossible">Nothing exists; not shown to a person as such unless a second way of looking agrees.</param>
/// <param name="Placed">The classes held; null where nothing was found.</param>
/// <param name="Bound">Of the objective; null where nothing is known.</param>
internal sealed record SolvedModel(bool Proved, bool Impossible, Placement[]? Placed, double? Bound);
