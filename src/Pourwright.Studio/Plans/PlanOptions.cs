using Pourwright.Planning.Season;

namespace Pourwright.Studio.Plans;

/// <summary>Settings of a node for plans, of the section `Plans`. Every default is common practice, no source.</summary>
public sealed record PlanOptions
{
    /// <summary>Before a machine day at risk people are told.</summary>
    public TimeSpan NoticeAhead { get; init; } = TimeSpan.FromHours(72);

    /// <summary>Before it somebody is asked to decide.</summary>
    public TimeSpan DecisionAhead { get; init; } = TimeSpan.FromHours(48);

    /// <summary>Within this of a session nothing changes without a person who answers for it.</summary>
    public TimeSpan ChangesEndAhead { get; init; } = TimeSpan.FromHours(24);

    /// <summary>How long a replan searches where the caller says nothing.</summary>
    public TimeSpan ReplanFor { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Most work on each stage of a proposal, in s of one core.</summary>
    public double ReplanStageSeconds { get; init; } = 10;

    /// <summary>How much a season is searched: rounds of the first search for each class, and searches on end.</summary>
    public int RoundsAClass { get; init; } = 100;

    public int Coolings { get; init; } = 6;

    /// <summary>Seasons of up to so many classes, or parts that share nothing with the rest, are proved; 0 proves none.</summary>
    public int ProvedClasses { get; init; } = 20;

    /// <summary>Chance that all pieces of a class are ready when its machine day begins.</summary>
    public double ChanceAllReady { get; init; } = 0.95;

    /// <summary>What a plan must keep and what it is judged by.</summary>
    public PlanTerms Terms => new() { ChanceAllReady = ChanceAllReady };
}
