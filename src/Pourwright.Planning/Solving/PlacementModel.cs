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
    private readonly Dictionary<(int Instructor, int Site, int Slot), List<BoolVar>> diaries = [];

    /// <param name="season">What is planned.</param>
    /// <param name="free">Ways of the classes that the model places.</param>
    /// <param name="load">Without these classes.</param>
    public PlacementModel(SeasonCase season, IEnumerable<ClassWays> free, SeasonLoad load)
    {
        (this.season, this.load) = (season, load);
        foreach (var ways in free) classes.Add(Class(ways));
        foreach (var (sum, left) in places.Values) model.Add(sum <= left);
        Diaries();
    }

    private sealed record PairVariable(SiteWays At, int PourSlot, int MachineDay, int Points, BoolVar Is);

    private sealed record SessionVariable(int Kind, int Site, int Slot, int Instructor, BoolVar Is);

    /// <summary>A variable that is true for a class when it is held and its placement is like this.</summary>
    private sealed record Truth(BoolVar Is, Func<Placement, bool> Holds);

    private sealed record ClassVariables(ClassWays Ways, BoolVar Held)
    {
        public List<PairVariable> Pairs { get; } = [];

        public List<SessionVariable> Sessions { get; } = [];

        public List<BoolVar> Substitutes { get; } = [];

        public List<Truth> Truths { get; } = [];
    }

    /// <summary>How much of the model its linear relaxation sees, 0 to 2: 2 was seen to prove students sooner, 1 points.</summary>
    public int Linearization { get; set; } = 1;

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
        foreach (var c in classes)
            foreach (var (is_, holds) in c.Truths) model.AddHint(is_, plan.TryGetValue(c.Ways.Class, out var p) && holds(p));
        var taught = classes.Select(c => plan.GetValueOrDefault(c.Ways.Class)).OfType<Placement>()
            .SelectMany(p => p.Sessions.Select(session => (session.Instructor, p.Site, session.Day))).ToHashSet();
        foreach (var (day, begun) in begins) model.AddHint(begun, taught.Contains(day));
    }

    /// <summary>Solves on one core, with so much work at most: several cores would make the plan a matter of chance.</summary>
    /// <param name="deterministicSeconds">Work, in the solver's own measure.</param>
    /// <param name="seed">Of the solver.</param>
    /// <param name="cancel">Stops; what was found until then counts.</param>
    public SolvedModel Solve(double deterministicSeconds, int seed, CancellationToken cancel)
    {
        using var solver = new CpSolver();
        solver.StringParameters = string.Create(CultureInfo.InvariantCulture,
            $"num_workers:1,linearization_level:{Linearization},random_seed:{seed},max_deterministic_time:{deterministicSeconds}");
        using var stop = cancel.Register(solver.StopSearch);
        var status = cancel.IsCancellationRequested ? CpSolverStatus.Unknown : solver.Solve(model);
        var found = status is CpSolverStatus.Optimal or CpSolverStatus.Feasible;
        return new(status == CpSolverStatus.Optimal, status == CpSolverStatus.Infeasible,
            found ? [.. classes.Select(c => Read(c, solver)).OfType<Placement>()] : null,
            status is CpSolverStatus.Unknown or CpSolverStatus.ModelInvalid ? null : solver.BestObjectiveBound);
    }

    private ClassVariables Class(ClassWays ways)
    {
        ClassVariables made = new(ways, model.NewBoolVar(""));
        made.Truths.Add(new(made.Held, _ => true));
        OneOf(made.Held, [.. ways.Sites.Select(at => Site(made, at)).OfType<BoolVar>()]);
        var first = Teachers(made, 0);
        Substitute(made, first, 1);
        if (ways.Offering.Finish is not null) Substitute(made, first, 2);
        return made;
    }

    // Whether somebody teaches a kind of session.
    private Dictionary<int, BoolVar> Teachers(ClassVariables made, int kind) => made.Sessions.Where(session => session.Kind == kind)
        .GroupBy(session => session.Instructor).ToDictionary(person => person.Key, person =>
        {
            var teaches = Bool(made, p => Of(p, kind)?.Instructor == person.Key);
            OneOf(teaches, person.Select(session => session.Is));
            return teaches;
        });

    private void Substitute(ClassVariables made, Dictionary<int, BoolVar> first, int kind)
    {
        var substitute = Bool(made, p => Of(p, kind)?.Instructor != p.Pour.Instructor);
        made.Substitutes.Add(substitute);
        foreach (var (who, teaches) in Teachers(made, kind))
            model.AddBoolOr(first.TryGetValue(who, out var same) ? [teaches.Not(), same, substitute] : [teaches.Not(), substitute]);
    }

    private BoolVar? Site(ClassVariables made, SiteWays at)
    {
        var pairs = Pairs(made, at);
        if (pairs.Count == 0) return null;
        made.Pairs.AddRange(pairs);
        var here = Bool(made, p => p.Site == at.Site);
        OneOf(here, pairs.Select(pair => pair.Is));
        foreach (var pour in pairs.GroupBy(pair => pair.PourSlot))
            Session(made, at, 0, pour.Key, pour.Key, One(made, p => p.Site == at.Site && p.Pour.Slot == pour.Key, pour));
        var days = pairs.GroupBy(pair => pair.MachineDay).ToDictionary(day => day.Key,
            day => One(made, p => p.Site == at.Site && p.Machine.Day == day.Key, day));
        foreach (var (day, held) in days) MachineDay(made, at, day, held);
        foreach (var pair in pairs)
            for (var day = pair.PourSlot / 2; day <= pair.MachineDay; day++)
                Place("bench", at.Site, day, 0, load.BenchLeft(at.Site, day)).AddTerm(pair.Is, at.Pieces);
        if (made.Ways.Offering.Finish is not null) Finishes(made, at, here, days);
        return here;
    }

    private List<PairVariable> Pairs(ClassVariables made, SiteWays at)
    {
        var open = at.Machines.Select(m => load.MachinesFree(at, m.Day) && Open(at, 2 * m.Day, 2 * m.Day + 1)).ToArray();
        List<PairVariable> pairs = [];
        foreach (var pour in at.Pours.Where(pour => Open(at, pour.Slot, pour.Slot)))
            for (var (k, day) = (0, pour.Day); k < pour.RiskPoints.Length; k++)
            {
                var machine = at.Machines[pour.FirstMachine + k].Day;
                while (day <= machine && load.BenchFree(at, day)) day++;
                if (day <= machine) break;
                if (open[pour.FirstMachine + k])
                    pairs.Add(new(at, pour.Slot, machine, pour.Points + pour.RiskPoints[k],
                        Bool(made, p => p.Site == at.Site && p.Pour.Slot == pour.Slot && p.Machine.Day == machine)));
            }
        return pairs;
    }

    private bool Open(SiteWays at, int firstSlot, int lastSlot) =>
        load.RoomFree(at, firstSlot) && load.RoomFree(at, lastSlot) && load.Free(at, firstSlot, lastSlot) != 0;

    private void MachineDay(ClassVariables made, SiteWays at, int day, BoolVar held)
    {
        Session(made, at, 1, 2 * day, 2 * day + 1, held);
        Place("planer", at.Site, day, 0, load.PlanerLeft(at.Site, day)).AddTerm(held, at.PlanerMinutes);
        Place("saw", at.Site, day, 0, load.SawLeft(at.Site, day)).AddTerm(held, at.SawMinutes);
        Place("sanding", at.Site, day, 0, load.SandingLeft(at.Site, day)).AddTerm(held, at.Students);
    }

    private void Finishes(ClassVariables made, SiteWays at, BoolVar here, Dictionary<int, BoolVar> days)
    {
        var finishes = at.Finishes.Where(slot => Open(at, slot, slot))
            .ToDictionary(slot => slot, slot => Bool(made, p => p.Site == at.Site && p.Finish?.Slot == slot));
        OneOf(here, finishes.Values);
        foreach (var (slot, finish) in finishes) Session(made, at, 2, slot, slot, finish);
        var ranges = at.Machines.Where(m => days.ContainsKey(m.Day)).ToDictionary(m => m.Day, m => at.Finishes[m.FirstFinish..m.EndFinish]);
        foreach (var (day, held) in days)
            model.AddBoolOr([held.Not(), .. ranges[day].Where(finishes.ContainsKey).Select(slot => (ILiteral)finishes[slot])]);
        foreach (var (slot, finish) in finishes)
            model.AddBoolOr([finish.Not(), .. days.Where(day => ranges[day.Key].Contains(slot)).Select(day => (ILiteral)day.Value)]);
    }

    // Who teaches, and the room of each half day.
    private void Session(ClassVariables made, SiteWays at, int kind, int firstSlot, int lastSlot, BoolVar held)
    {
        List<BoolVar> people = [];
        for (var (free, k) = (load.Free(at, firstSlot, lastSlot), 0); free != 0; free >>= 1, k++)
        {
            if ((free & 1) == 0) continue;
            var who = at.Instructors[k];
            var taught = Bool(made, p => p.Site == at.Site && Of(p, kind) == new Attendance(firstSlot, who));
            people.Add(taught);
            made.Sessions.Add(new(kind, at.Site, firstSlot, who, taught));
            for (var slot = firstSlot; slot <= lastSlot; slot++) Diary(who, at.Site, slot).Add(taught);
        }
        OneOf(held, people);
        for (var slot = firstSlot; slot <= lastSlot; slot++)
            for (var rank = 0; rank <= at.RoomRank; rank++)
                Place("room", at.Site, slot, rank, load.RoomsLeft(at.Site, slot, rank)).AddTerm(held, 1);
    }

    private void Diaries()
    {
        // At most one class in a half day, and none unless the day is begun: one constraint, which bounds better than two.
        foreach (var ((who, site, slot), sessions) in diaries)
            model.AddAtMostOne(load.Teaches(who, slot / 2) ? sessions : sessions.Append<ILiteral>(Begins(who, site, slot / 2).Not()));
        foreach (var day in begins.GroupBy(b => (b.Key.Instructor, b.Key.Day)).Where(day => day.Count() > 1))
            model.AddAtMostOne(day.Select(b => b.Value));
        foreach (var week in begins.GroupBy(b => (b.Key.Instructor, season.Week(b.Key.Day))))
            model.Add(Sum(week.Select(b => (b.Value, 1L))) <= load.DaysLeft(week.Key.Instructor, week.First().Key.Day));
        foreach (var (evening, one) in begins)
            foreach (var to in Enumerable.Range(0, season.Sites.Count))
                if (season.TravelMinutes[evening.Site][to] > season.Terms.OvernightMinutes
                    && begins.TryGetValue((evening.Instructor, to, evening.Day + 1), out var other)) model.AddBoolOr([one.Not(), other.Not()]);
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

    // A variable of a class, kept with what it says so that it can be hinted.
    private BoolVar Bool(ClassVariables made, Func<Placement, bool> holds)
    {
        var is_ = model.NewBoolVar("");
        made.Truths.Add(new(is_, holds));
        return is_;
    }

    private BoolVar One(ClassVariables made, Func<Placement, bool> holds, IEnumerable<PairVariable> of)
    {
        var any = Bool(made, holds);
        OneOf(any, of.Select(pair => pair.Is));
        return any;
    }

    // Exactly one of them where the whole holds, none where not.
    private void OneOf(BoolVar whole, IEnumerable<BoolVar> of) => model.AddExactlyOne(of.Append<ILiteral>(whole.Not()));

    private BoolVar Begins(int who, int site, int day) =>
        begins.TryGetValue((who, site, day), out var begun) ? begun : begins[(who, site, day)] = model.NewBoolVar("");

    private List<BoolVar> Diary(int who, int site, int slot) =>
        diaries.TryGetValue((who, site, slot), out var sessions) ? sessions : diaries[(who, site, slot)] = [];

    private LinearExprBuilder Place(string what, int site, int when, int rank, long left)
    {
        if (!places.TryGetValue((what, site, when, rank), out var place))
            places[(what, site, when, rank)] = place = (LinearExpr.NewBuilder(), left);
        return place.Sum;
    }

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
