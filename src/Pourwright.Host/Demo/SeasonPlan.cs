namespace Pourwright.Host.Demo;

/// <summary>A class of the season: where, by whom, when it pours, and the numbers of its pieces.</summary>
public sealed record SeasonClass(int Number, string Site, string Instructor, DateOnly Day, IReadOnlyList<int> Pieces)
{
    /// <summary>Two weeks later they come out of their moulds, are planed and go home.</summary>
    public DateOnly MachineDay => Day.AddDays(14);

    public string Id => $"class-{Number:000}";
}

/// <summary>What somebody comes to see of a piece: a kind of defect at the machine day, or so many days after it, at home.</summary>
public sealed record SeasonDefect(V1.Defect.Types.Kind Kind, int DaysLater);

/// <summary>Ten weeks of an invented studio, drawn from a seed: the same season on every machine.</summary>
/// <remarks>
/// All figures are invented. What is planted shows only in what people find: the service is told of no cause. Of the pieces of
/// one B lot six in ten come out soft, of one instructor's other pieces one in eight, of all others one in twenty-five.
/// </remarks>
public sealed class SeasonPlan
{
    public const string BadLot = "b-2612", WorseInstructor = "corin";
    public const int PiecesInAll = 600, FewestPieces = 120, Weeks = 10;

    private const int PiecesAClass = 5, WorkDays = 6 * Weeks;
    private const double BadLotSoft = 0.6, WorseSoft = 0.12, UsuallySoft = 0.04, FoundAtHome = 0.25, BadLotFirstShare = 0.42, BadLotLastShare = 0.54;

    public static readonly DateOnly FirstDay = new(2027, 1, 11);

    /// <summary>Sites with their two instructors; the last is the coldest and gets none of the bad lot.</summary>
    public static readonly IReadOnlyList<(string Site, string[] Instructors)> Sites =
        [("quay", ["anouk", "bram"]), ("mill", [WorseInstructor, "dalia"]), ("loft", ["edda", "fenn"])];

    private readonly Random _random, _people;
    private readonly Dictionary<int, SeasonClass> _classOf;

    /// <param name="pieces">How many pieces are poured; the last class may be a small one.</param>
    /// <param name="seed">Another seed, another season.</param>
    public SeasonPlan(int pieces = PiecesInAll, int seed = 57)
    {
        (Pieces, _random, _people) = (pieces, new(seed), new(seed));
        Classes = [.. Enumerable.Range(0, (pieces + PiecesAClass - 1) / PiecesAClass).Select(Class)];
        _classOf = Classes.SelectMany(held => held.Pieces.Select(piece => (piece, held))).ToDictionary(pair => pair.piece, pair => pair.held);
    }

    public int Pieces { get; }

    public IReadOnlyList<SeasonClass> Classes { get; }

    public SeasonClass ClassOf(int piece) => _classOf[piece];

    /// <summary>The B lot that a site uses on a day: three lots after each other, the second one not at the last site.</summary>
    public static string LotB(string site, DateOnly day) => ShareOf(day) switch
    {
        < BadLotFirstShare => "b-2611",
        < BadLotLastShare => site == Sites[^1].Site ? "b-2611" : BadLot,
        _ => "b-2701",
    };

    /// <summary>The A lot; sites change it some days apart.</summary>
    public static string LotA(string site, DateOnly day) => (ShareOf(day) + (site == "mill" ? 0.08 : 0)) switch
    {
        < 0.30 => "a-2609",
        < 0.68 => "a-2610",
        _ => "a-2701",
    };

    /// <summary>Grams of B for 1,250 g of A, 525 g are right; scales and hands are off by up to 1 %.</summary>
    public double GramsB() => Math.Round(525 + 5 * (2 * _random.NextDouble() - 1), 1);

    /// <summary>What will be found of a piece; null for nothing.</summary>
    public SeasonDefect? Fate(int piece, string lotB)
    {
        var soft = lotB == BadLot ? BadLotSoft : ClassOf(piece).Instructor == WorseInstructor ? WorseSoft : UsuallySoft;
        if (_random.NextDouble() < soft) return new(V1.Defect.Types.Kind.Soft, _random.NextDouble() < FoundAtHome ? 5 + _random.Next(15) : 0);
        return _random.NextDouble() switch
        {
            < 0.025 => new(V1.Defect.Types.Kind.Bubbles, 0),
            < 0.04 => new(V1.Defect.Types.Kind.Finish, 5 + _random.Next(15)),
            < 0.05 => new(V1.Defect.Types.Kind.Cloudy, 0),
            _ => null,
        };
    }

    /// <summary>Whether something happens that happens in such a share of cases; it changes no tray's fate.</summary>
    public bool Chance(double share) => _people.NextDouble() < share;

    /// <summary>Air of a room, in °C: a day's wave on a slow one; the last site is some three degrees colder.</summary>
    public static double AirCelsius(string site, DateTimeOffset time)
    {
        var hours = (time - new DateTimeOffset(FirstDay, TimeOnly.MinValue, TimeSpan.Zero)).TotalHours;
        var mean = site switch { "quay" => 21.5, "mill" => 21, _ => 18.5 };
        return mean + 0.7 * Math.Sin(2 * Math.PI * (hours - 9) / 24) + 0.5 * Math.Sin(2 * Math.PI * hours / 190 + mean);
    }

    private SeasonClass Class(int number)
    {
        var (site, instructors) = Sites[number % Sites.Count];
        var perSite = Math.Max(1, (Pieces / PiecesAClass + Sites.Count - 1) / Sites.Count);
        var workDay = Math.Min(WorkDays - 1, number / Sites.Count * WorkDays / perSite);
        // One class in seven is taught by somebody of another site.
        var people = _random.NextDouble() < 0.85 ? instructors : Sites[(number + 1 + _random.Next(Sites.Count - 1)) % Sites.Count].Instructors;
        var first = number * PiecesAClass + 1;
        return new(number + 1, site, people[_random.Next(people.Length)], FirstDay.AddDays(workDay / 6 * 7 + workDay % 6),
            [.. Enumerable.Range(first, Math.Min(PiecesAClass, Pieces - first + 1))]);
    }

    private static double ShareOf(DateOnly day) => (day.DayNumber - FirstDay.DayNumber) / (7.0 * Weeks);
}
