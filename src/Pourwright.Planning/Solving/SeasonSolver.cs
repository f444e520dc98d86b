using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>Plans a season: as many students as can be, then as few points as can be.</summary>
/// <remarks>
/// Parts that share neither sites nor people are solved apart. Each starts from the best of its greedy plans, is searched, and its
/// students are bounded from above; small parts are then handed to a constraint solver, which proves both stages.
/// </remarks>
public sealed class SeasonSolver
{
    private const double LaterHotness = 0.5; // later searches start from a good plan and must not lose it

    private readonly SeasonCase season;
    private readonly ClassWays[] ways;
    private readonly PlanEffort effort;
    private readonly Part[] parts;

    private SeasonSolver(SeasonCase season, PlanEffort effort)
    {
        (this.season, this.effort, ways) = (season, effort, ClassWays.Of(season));
        parts = [.. SeasonParts.Of(season, ways).Select(classes => new Part(classes))];
    }

    /// <summary>Solves with so much work; cancelling is no fault: the best plan until then is the answer.</summary>
    public static SolvedPlan Solve(SeasonCase season, PlanEffort effort, IProgress<PlanProgress>? progress, CancellationToken cancel) =>
        new SeasonSolver(season, effort).Solve(progress, cancel);

    private sealed class Part(int[] classes)
    {
        public int[] Classes => classes;

        public IReadOnlyList<Placement> Placed { get; set; } = [];

        public int Students { get; set; }

        public int Points { get; set; }

        public int StudentsBound { get; set; }

        public int? PointsBound { get; set; }

        public void Take(ClassPlan plan, int students, int points)
        {
            if (students < Students || students == Students && points >= Points && Placed.Count > 0) return;
            (Placed, Students, Points) = (plan.Placed, students, points);
        }
    }

    private SolvedPlan Solve(IProgress<PlanProgress>? progress, CancellationToken cancel)
    {
        InParallel(parts, Start);
        Tell(PlanStage.Starting);
        for (var cooling = 0; cooling < effort.Coolings && !cancel.IsCancellationRequested; cooling++)
        {
            var before = (parts.Sum(part => part.Students), parts.Sum(part => part.Points));
            Search(cooling, cancel);
            Tell(PlanStage.Searching);
            if (cooling > 0 && IsFull && before == (parts.Sum(part => part.Students), parts.Sum(part => part.Points))) break;
            if (cooling > 0) continue;
            InParallel(parts, part => Bound(part, cancel));
            Tell(PlanStage.Bounding);
        }
        foreach (var part in parts.Where(IsSmall))
        {
            Prove(part, cancel);
            Tell(PlanStage.Proving);
        }
        Tell(PlanStage.Done);
        return Solved();

        void Tell(PlanStage stage)
        {
            if (progress is null) return;
            var now = Solved();
            progress.Report(new(stage, now.Plan.Placed.Count, now.Students, now.StudentsBound, now.Points));
        }
    }

    private SolvedPlan Solved() => new(
        new([.. parts.SelectMany(part => part.Placed).OrderBy(p => p.Class)]), parts.Sum(part => part.Students), parts.Sum(part => part.StudentsBound),
        parts.Sum(part => part.Points), parts.All(part => part.PointsBound is not null) ? parts.Sum(part => part.PointsBound) : null);

    // Where everybody has a seat, twice the work for a point or two is not worth the wait.
    private bool IsFull => parts.All(part => part.Students == part.StudentsBound);

    private bool IsSmall(Part part) => part.Classes.Length <= effort.ProvedClasses;

    private void Start(Part part)
    {
        var best = GreedyPlanner.Start(season, ways, part.Classes, effort.Seed);
        part.Take(best.Plan(), best.Students, best.Points);
        part.StudentsBound = StudentsBound.Alone(season, ways, part.Classes);
    }

    // Several lanes of one part start alike and differ by their seeds; the best of them, the first of equals, goes on.
    private void Search(int cooling, CancellationToken cancel)
    {
        Part[] searched = [.. parts.Where(part => cooling == 0 || !IsSmall(part))];
        var lanes = searched.Length == 0 ? 0 : Math.Max(1, effort.Lanes / searched.Length);
        var searches = searched.SelectMany(part => Enumerable.Range(0, lanes)
            .Select(lane => (Part: part, Search: new PlanSearch(season, ways, part.Classes, part.Placed, Seed(cooling, part.Classes[0], lane))))).ToArray();
        InParallel(searches, one => one.Search.Cool(((long)effort.RoundsAClass << cooling) * one.Part.Classes.Length, cooling == 0 ? 1 : LaterHotness, cancel));
        foreach (var (part, search) in searches) part.Take(search.Best, search.BestStudents, search.BestPoints);
    }

    private void Bound(Part part, CancellationToken cancel)
    {
        var bound = new StudentsBound(season, ways, part.Classes);
        bound.Climb(effort.BoundSteps, part.Students, cancel);
        part.StudentsBound = Math.Min(part.StudentsBound, bound.Students);
    }

    // Two stages, each from the best plan so far: students, then points among plans with as many.
    private void Prove(Part part, CancellationToken cancel)
    {
        var model = new PlacementModel(season, part.Classes.Select(c => ways[c]), new(season, ways));
        if (part.Students < part.StudentsBound)
        {
            model.Linearization = 2;
            model.Maximize(model.Students);
            if (Improve(part, model, cancel) is { } students) part.StudentsBound = Math.Min(part.StudentsBound, (int)Math.Floor(students + 1e-6));
        }
        if (part.Students < part.StudentsBound) return;
        model.Add(model.Students == part.Students);
        model.Linearization = 1;
        model.Minimize(model.Points);
        if (Improve(part, model, cancel) is { } points) part.PointsBound = (int)Math.Ceiling(points - 1e-6);
    }

    private double? Improve(Part part, PlacementModel model, CancellationToken cancel)
    {
        model.Hint(part.Placed.ToDictionary(p => p.Class));
        var solved = model.Solve(effort.ProofSeconds, effort.Seed, cancel);
        if (solved.Placed is { } placed && new ClassPlan(placed) is var plan) part.Take(plan, plan.Students(season), PlanPoints.Of(season, plan).Total);
        return solved.Bound;
    }

    private int Seed(int cooling, int part, int lane) => unchecked(((effort.Seed * 7919 + cooling) * 104_729 + part) * 31 + lane);

    private void InParallel<T>(T[] each, Action<T> work) =>
        Parallel.ForEach(each, new ParallelOptions { MaxDegreeOfParallelism = Math.Max(1, effort.Lanes) }, work);
}
