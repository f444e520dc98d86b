using Pourwright.Evidence.Suspects;

namespace Pourwright.Evidence.Tests.Suspects;

/// <summary>What is truly wrong in an invented studio.</summary>
internal enum Planted
{
    Nothing,
    Lot,
    Instructor,
    Site,
    Humidity,
}

/// <summary>An invented studio with one cause planted, so that what is called out can be held against the truth.</summary>
/// <remarks>
/// Classes of three to six pieces on one day; three sites; six instructors, each at one of two's own site 85 times of 100; A and B
/// lots of 6 to 21 pieces, changed each at its own time, so that a lot has some B lots, days and instructors of its own; a can of
/// 4 to 7 pieces; a mix of two; one number of ten not on record. Of 100 pieces 5 are defective whatever one does, half of
/// these for reasons that lie in the room and that the cure engine can see. With nuisances one instructor who is not the
/// planted one, humid rooms and ratios off by more than 2 % double the odds. All of it is invented, no source.
/// </remarks>
internal sealed class PlantedStudio
{
    private const double BaseRate = 0.05;

    private readonly int seed;
    private readonly Random random;
    private readonly List<InspectedPiece> pieces = [];
    private readonly List<bool?> roomCaused = [];

    private PlantedStudio(int seed) => (this.seed, random) = (seed, new(seed));

    public IReadOnlyList<InspectedPiece> Pieces => pieces;

    /// <summary>The level that is to blame; null where nothing is.</summary>
    public (Factor Factor, string Level)? Truth { get; private set; }

    /// <summary>All levels with an effect of their own: calling one out is not false.</summary>
    public HashSet<(Factor, string)> Real { get; } = [];

    public static PlantedStudio Draw(int seed, int pieces, Planted planted, double rate, bool nuisances)
    {
        var studio = new PlantedStudio(seed);
        studio.Pour(pieces);
        studio.Plant(planted);
        var nuisance = nuisances ? studio.PlantNuisances() : null;
        for (var i = 0; i < pieces; i++)
            studio.Inspect(i, rate, nuisance);
        return studio;
    }

    /// <summary>
    /// What the cure engine would say of each defective piece: seven times of ten it can tell, and then says the truth of whether
    /// the room did it with this chance; 0.5 is no better than a coin.
    /// </summary>
    public IReadOnlyList<PhysicalEvidence> Evidence(double accuracy)
    {
        var engine = new Random(seed + 1_000_000);
        return [.. pieces.Zip(roomCaused).Where(p => p.First.IsDefective).SelectMany(p =>
        {
            bool tells = engine.NextDouble() < 0.7, right = engine.NextDouble() < accuracy;
            return PhysicalEvidence.OfCure(p.First.Name, tells ? right == p.Second : null);
        })];
    }

    private void Pour(int count)
    {
        var (a, b, pigment, can, mix) = (Sequence("A", 6, 21), Sequence("B", 6, 21), Sequence("P", 10, 30), Sequence("can", 4, 7), Sequence("mix", 2, 2));
        for (var day = 1; pieces.Count < count; day++)
        {
            var course = new Course(random, day);
            for (var i = random.Next(3, 7); i > 0 && pieces.Count < count; i--)
                pieces.Add(Piece(course, a(), b(), pigment(), can(), mix()));
        }
    }

    private InspectedPiece Piece(Course course, string a, string b, string pigment, string can, string mix) => new($"piece {pieces.Count + 1}", false)
    {
        Levels = new Dictionary<Factor, IReadOnlyCollection<string>>
        {
            [Factor.LotA] = [a], [Factor.LotB] = [b], [Factor.PigmentLot] = [pigment], [Factor.Container] = [can], [Factor.Mix] = [mix],
            [Factor.Instructor] = [course.Instructor], [Factor.Site] = [course.Site], [Factor.Date] = [course.Day],
            [Factor.Scale] = [$"{course.Site} scale {random.Next(2)}"], [Factor.Bench] = [$"{course.Site} bench {random.Next(3)}"],
            [Factor.Mould] = [$"mould {random.Next(10)}"], [Factor.Person] = [$"student {random.Next(pieces.Count + 1)}"],
        },
        Numbers = new Dictionary<Factor, double>(Recorded(course)),
    };

    private IEnumerable<KeyValuePair<Factor, double>> Recorded(Course course) => new Dictionary<Factor, double>
    {
        [Factor.Temperature] = course.TemperatureCelsius, [Factor.Humidity] = course.HumidityPercent,
        [Factor.RatioDeviation] = 1.5 * Normal(), [Factor.Depth] = 8 + 40 * random.NextDouble(),
        [Factor.WoodMoisture] = 9 + 1.5 * Normal(), [Factor.HoursToDemold] = 24 + 24 * random.NextDouble(),
    }.Where(_ => random.NextDouble() < 0.9);

    // A lot is worth planting only where it was poured six times.
    private void Plant(Planted planted)
    {
        Truth = planted switch
        {
            Planted.Lot => (Factor.LotA, Any(Factor.LotA, 6)),
            Planted.Instructor => (Factor.Instructor, Any(Factor.Instructor, 6)),
            Planted.Site => (Factor.Site, Any(Factor.Site, 6)),
            Planted.Humidity => (Factor.Humidity, Bands.Level(Factor.Humidity, 75)),
            _ => null,
        };
        if (Truth is { } truth)
            Real.Add(truth);
    }

    private (Factor, string)[] PlantNuisances()
    {
        (Factor, string)[] nuisances = [
            (Factor.Instructor, Any(Factor.Instructor, 1)), (Factor.Humidity, Bands.Level(Factor.Humidity, 75)),
            (Factor.RatioDeviation, Bands.Level(Factor.RatioDeviation, -3)), (Factor.RatioDeviation, Bands.Level(Factor.RatioDeviation, 3))];
        Real.UnionWith(nuisances);
        return nuisances;
    }

    private void Inspect(int i, double rate, (Factor, string)[]? nuisances)
    {
        var odds = BaseRate / (1 - BaseRate) * Math.Pow(2, (nuisances ?? []).Count(n => Has(i, n)));
        var (usual, planted) = (odds / (1 + odds), Truth is { } truth && Has(i, truth) ? rate : 0);
        bool plantedDid = random.NextDouble() < planted, usualDid = random.NextDouble() < usual, room = random.NextDouble() < 0.5;
        pieces[i] = pieces[i] with { IsDefective = plantedDid || usualDid };
        roomCaused.Add(!plantedDid && room);
    }

    private bool Has(int i, (Factor Factor, string Level) level) => pieces[i].LevelsOf(level.Factor).Contains(level.Level);

    private string Any(Factor factor, int least)
    {
        var levels = pieces.SelectMany(p => p.LevelsOf(factor)).GroupBy(l => l).Where(g => g.Count() >= least).Select(g => g.Key).ToArray();
        return levels[random.Next(levels.Length)];
    }

    // A name that changes after as many pieces as drawn each time.
    private Func<string> Sequence(string name, int least, int most)
    {
        var (number, left) = (0, 0);
        return () =>
        {
            if (left == 0)
                (number, left) = (number + 1, random.Next(least, most + 1));
            left--;
            return $"{name}-{number}";
        };
    }

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private sealed class Course
    {
        private static readonly string[] Sites = ["north", "south", "west"];

        public Course(Random random, int day)
        {
            var site = random.Next(3);
            var home = random.NextDouble() < 0.85 ? site : random.Next(3);
            (Site, Day, Instructor) = (Sites[site], $"day {day}", $"instructor {2 * home + random.Next(2)}");
            (TemperatureCelsius, HumidityPercent) = (16 + 10 * random.NextDouble(), 35 + 45 * random.NextDouble());
        }

        public string Site { get; }
        public string Day { get; }
        public string Instructor { get; }
        public double TemperatureCelsius { get; }
        public double HumidityPercent { get; }
    }
}
