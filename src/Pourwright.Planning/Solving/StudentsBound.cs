using Pourwright.Planning.Greedy;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.Solving;

/// <summary>How many students no plan can exceed: places, machines, rooms and people are priced, and each class and person chooses alone.</summary>
/// <remarks>
/// Lagrangian relaxation: for any prices λ ≥ 0, Σ over classes of max(0, students − dearness of the cheapest way) + Σ λ·capacity
/// + Σ over instructors of what their best diary earns is a bound. Instructors are known one by one: where they may go, which days,
/// how many a week, no two far sites in a row; a pour or finish wants a half day and a machine day both halves of somebody qualified.
/// One thing only is given up besides: who teaches a class may change from session to session at no cost. Prices climb by
/// subgradients with Polyak's step (Held, Wolfe and Crowder 1974, Math. Program. 6, 62, from memory).
/// </remarks>
internal sealed class StudentsBound
{
    // Of what was tried on invented seasons: a step, as a share of the bound over the squared slope, falls geometrically from one
    // to the other, whatever the number of steps; a share of the last direction is kept against zigzag.
    private const double FirstStep = 0.035;
    private const double LastStep = 0.00025;
    private const double Memory = 0.6;

    private readonly SeasonCase season;
    private readonly ClassWays[] classes;
    private readonly Instructor[] people;
    private readonly int[] personIndexes;
    private readonly int[][] reach;       // sites of each person
    private readonly int days, sites, room, half, full;
    private readonly int[] roomBase;
    private readonly double[] price, use, capacity, scale, direction, benchSum;

    public StudentsBound(SeasonCase season, ClassWays[] ways, int[] part)
    {
        this.season = season;
        classes = [.. part.Select(c => ways[c]).Where(c => c.Sites.Length > 0)];
        personIndexes = [.. classes.SelectMany(c => c.Sites).SelectMany(at => at.Instructors).Distinct().Order()];
        people = [.. personIndexes.Select(i => season.Instructors[i])];
        int[] used = [.. classes.SelectMany(c => c.Sites).Select(at => at.Site).Distinct().Order()];
        reach = [.. people.Select(who => used.Where(site => season.TravelMinutes[who.HomeSite][site] <= who.FarthestMinutes).ToArray())];
        (days, sites) = (season.Days, season.Sites.Count);
        roomBase = new int[sites];
        room = 4 * sites * days;
        half = room;
        for (var site = 0; site < sites; site++) (roomBase[site], half) = (half, half + 2 * days * season.Sites[site].RoomSeats.Count);
        full = half + season.Offerings.Count * sites * 2 * days;
        var rows = full + season.Offerings.Count * sites * days;
        (price, use, direction) = (new double[rows], new double[rows], new double[rows]);
        capacity = new double[rows];
        Fill();
        scale = [.. capacity.Select(c => c > 0 ? 1 / c : 1)];
        benchSum = new double[days + 1];
        Students = classes.Sum(c => c.Request.Students);
    }

    /// <summary>The least bound found so far.</summary>
    public int Students { get; private set; }

    /// <summary>Students of the classes that could be held if nothing else were.</summary>
    public static int Alone(SeasonCase season, ClassWays[] ways, int[] classes)
    {
        var insertion = new Insertion(season, new(season, ways));
        return classes.Where(c => insertion.Cheapest(ways[c]) is not null).Sum(c => season.Classes[c].Students);
    }

    /// <summary>Climbs from no prices at all; stops early where the bound meets what a plan holds.</summary>
    public void Climb(int steps, int held, CancellationToken cancel)
    {
        var least = double.PositiveInfinity;
        for (var step = 0; step < steps && Students > held && !cancel.IsCancellationRequested; step++)
        {
            var bound = Evaluate();
            least = Math.Min(least, bound);
            Students = Math.Min(Students, (int)Math.Floor(least + 1e-6));
            Move(FirstStep * Math.Pow(LastStep / FirstStep, step / (double)steps) * Math.Min(bound, 1.1 * least));
        }
    }

    private void Move(double length)
    {
        var square = 1e-12;
        for (var row = 0; row < price.Length; row++)
        {
            direction[row] = (1 - Memory) * (use[row] - capacity[row]) * scale[row] + Memory * direction[row];
            if (price[row] > 0 || direction[row] > 0) square += direction[row] * direction[row];
        }
        for (var row = 0; row < price.Length; row++) price[row] = Math.Max(0, price[row] + length / square * direction[row]);
    }

    private void Fill()
    {
        for (var site = 0; site < sites; site++)
        {
            var count = season.Sites[site].RoomSeats.Count;
            for (var day = 0; day < days; day++)
            {
                var (has, here) = (season.Sites[site].Days[day], site * days + day);
                (capacity[here], capacity[here + sites * days]) = (has.BenchPlaces, has.PlanerMinutes);
                (capacity[here + 2 * sites * days], capacity[here + 3 * sites * days]) = (has.SawMinutes, has.SandingPlaces);
            }
            for (var at = 0; at < 2 * days * count; at++) capacity[roomBase[site] + at] = count - at % count;
        }
    }

    private double Evaluate()
    {
        Array.Clear(use);
        var bound = 0.0;
        for (var row = 0; row < price.Length; row++) bound += price[row] * capacity[row] * scale[row];
        foreach (var @class in classes) bound += Choose(@class);
        for (var who = 0; who < people.Length; who++) bound += Diary(who);
        return bound;
    }

    private double Price(int row) => price[row] * scale[row];

    private int Half(int offering, int site, int slot) => half + (offering * sites + site) * 2 * days + slot;

    private int Full(int offering, int site, int day) => full + (offering * sites + site) * days + day;

    private double Rooms(SiteWays at, int slot)
    {
        var (sum, row) = (0.0, roomBase[at.Site] + slot * season.Sites[at.Site].RoomSeats.Count);
        for (var rank = 0; rank <= at.RoomRank; rank++) sum += Price(row + rank);
        return sum;
    }

    private void TakeRooms(SiteWays at, int slot)
    {
        var row = roomBase[at.Site] + slot * season.Sites[at.Site].RoomSeats.Count;
        for (var rank = 0; rank <= at.RoomRank; rank++) use[row + rank]++;
    }

    // What the cheapest way of a class leaves of its students; takes it where that is more than nothing.
    private double Choose(ClassWays @class)
    {
        var best = (Value: 0.0, At: (SiteWays?)null, Pour: 0, Machine: 0, Finish: -1);
        foreach (var at in @class.Sites)
        {
            var offering = @class.Request.Offering;
            var (cheapest, finishes) = MachineDays(at, offering);
            SumBench(at);
            foreach (var pour in at.Pours)
            {
                var rest = at.Students - Rooms(at, pour.Slot) - Price(Half(offering, at.Site, pour.Slot)) + benchSum[pour.Day];
                if (rest <= best.Value) continue;
                for (var m = pour.FirstMachine; m < pour.FirstMachine + pour.RiskPoints.Length; m++)
                    if (rest - benchSum[at.Machines[m].Day + 1] - cheapest[m] is var value && value > best.Value)
                        best = (value, at, pour.Slot, at.Machines[m].Day, finishes[m]);
            }
        }
        if (best.At is not null) Take(@class, best.At, best.Pour, best.Machine, best.Finish);
        return best.Value;
    }

    private (double[] Cheapest, int[] Finishes) MachineDays(SiteWays at, int offering)
    {
        var (cheapest, finishes) = (new double[at.Machines.Length], new int[at.Machines.Length]);
        double[] dear = [.. at.Finishes.Select(slot => Rooms(at, slot) + Price(Half(offering, at.Site, slot)))];
        for (var m = 0; m < cheapest.Length; m++)
        {
            var (day, least) = (at.Machines[m].Day, double.PositiveInfinity);
            finishes[m] = -1;
            for (var f = at.Machines[m].FirstFinish; f < at.Machines[m].EndFinish; f++)
                if (dear[f] < least) (least, finishes[m]) = (dear[f], at.Finishes[f]);
            var here = at.Site * days + day;
            cheapest[m] = (finishes[m] < 0 ? 0 : least) + Price(here + sites * days) * at.PlanerMinutes + Price(here + 2 * sites * days) * at.SawMinutes
                + Price(here + 3 * sites * days) * at.Students + Rooms(at, 2 * day) + Rooms(at, 2 * day + 1) + Price(Full(offering, at.Site, day));
        }
        return (cheapest, finishes);
    }

    private void SumBench(SiteWays at)
    {
        if (at.Pours.Length == 0) return;
        var (first, last) = (at.Pours[0].Day, at.Machines[^1].Day);
        benchSum[first] = 0;
        for (var day = first; day <= last; day++) benchSum[day + 1] = benchSum[day] + Price(at.Site * days + day) * at.Pieces;
    }

    private void Take(ClassWays @class, SiteWays at, int pour, int machineDay, int finish)
    {
        var (offering, here) = (@class.Request.Offering, at.Site * days + machineDay);
        for (var day = pour / 2; day <= machineDay; day++) use[at.Site * days + day] += at.Pieces;
        use[here + sites * days] += at.PlanerMinutes;
        use[here + 2 * sites * days] += at.SawMinutes;
        use[here + 3 * sites * days] += at.Students;
        foreach (var slot in finish < 0 ? [pour, 2 * machineDay, 2 * machineDay + 1] : new[] { pour, 2 * machineDay, 2 * machineDay + 1, finish })
            TakeRooms(at, slot);
        use[Half(offering, at.Site, pour)]++;
        use[Full(offering, at.Site, machineDay)]++;
        if (finish >= 0) use[Half(offering, at.Site, finish)]++;
    }

    // The diary that earns most: over days, by how many days of the week are taken and where the last day was spent.
    private double Diary(int who)
    {
        var (person, places) = (people[who], reach[who]);
        var most = Math.Min(person.DaysAWeek, 7);
        var states = (most + 1) * (places.Length + 1);
        double[] value = [.. Enumerable.Repeat(double.NegativeInfinity, states)];
        value[places.Length] = 0;
        var from = new int[days * states];
        for (var day = 0; day < days; day++)
        {
            var next = Enumerable.Repeat(double.NegativeInfinity, states).ToArray();
            var newWeek = day > 0 && season.Week(day) != season.Week(day - 1);
            for (var state = 0; state < states; state++)
            {
                if (double.IsNegativeInfinity(value[state])) continue;
                var (taken, last) = (newWeek ? 0 : state / (places.Length + 1), state % (places.Length + 1));
                Try(taken * (places.Length + 1) + places.Length, value[state], state);
                if (taken == most || !person.Available[day]) continue;
                for (var k = 0; k < places.Length; k++)
                    if (last == places.Length || season.TravelMinutes[places[last]][places[k]] <= season.Terms.OvernightMinutes)
                        Try((taken + 1) * (places.Length + 1) + k, value[state] + Earned(person, places[k], day), state);
            }
            value = next;

            void Try(int to, double worth, int state)
            {
                if (worth <= next[to]) return;
                (next[to], from[day * states + to]) = (worth, state);
            }
        }
        var end = Array.IndexOf(value, value.Max());
        var earned = value[end];
        for (var day = days - 1; day >= 0; end = from[day * states + end], day--)
            if (end % (places.Length + 1) is var k && k < places.Length) Supply(person, places[k], day);
        return earned;
    }

    private double Earned(Instructor person, int site, int day) => Math.Max(Price(BestFull(person, site, day)),
        Price(BestHalf(person, site, 2 * day)) + Price(BestHalf(person, site, 2 * day + 1)));

    private void Supply(Instructor person, int site, int day)
    {
        var (morning, afternoon, whole) = (BestHalf(person, site, 2 * day), BestHalf(person, site, 2 * day + 1), BestFull(person, site, day));
        if (Price(whole) >= Price(morning) + Price(afternoon)) use[whole]--;
        else
        {
            use[morning]--;
            use[afternoon]--;
        }
    }

    private int BestFull(Instructor person, int site, int day)
    {
        var best = -1;
        foreach (var offering in person.Offerings)
            if (Full(offering, site, day) is var row && (best < 0 || price[row] > price[best])) best = row;
        return best;
    }

    private int BestHalf(Instructor person, int site, int slot)
    {
        var best = -1;
        foreach (var offering in person.Offerings)
            if (Half(offering, site, slot) is var row && (best < 0 || price[row] > price[best])) best = row;
        return best;
    }
}
