namespace Pourwright.Planning.Season;

/// <summary>What a plan must keep and what it is judged by: settings of a studio, none has a source but custom.</summary>
public sealed record PlanTerms
{
    /// <summary>Chance that all pieces of a class are ready when its machine day begins.</summary>
    public double ChanceAllReady { get; init; } = 0.95;

    /// <summary>Slack between the least gap and the machine day below which a plan is charged, in h, with its points each; they add up.</summary>
    public IReadOnlyList<(double BelowHours, int Points)> Risk { get; init; } = [(12, 20), (24, 10), (48, 4)];

    /// <summary>Travel that costs one point, in min of one way from home, for each day that an instructor teaches.</summary>
    public int TravelMinutesPerPoint { get; init; } = 10;

    /// <summary>Points for each week off the favourite one.</summary>
    public int WeekOffPoints { get; init; } = 10;

    /// <summary>Points for another weekday than that of the favourite day.</summary>
    public int WeekdayOffPoints { get; init; } = 5;

    /// <summary>Points for another site than the favourite one.</summary>
    public int OtherSitePoints { get; init; } = 15;

    /// <summary>Sites farther apart than this are not taught on consecutive days by one person, in min.</summary>
    public int OvernightMinutes { get; init; } = 120;

    /// <summary>Points for each session taught by another person than the first one of its class.</summary>
    public int SubstitutePoints { get; init; } = 30;
}
