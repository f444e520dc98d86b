namespace Pourwright.Planning.MachineDay;

/// <summary>How hard to look for a shorter schedule.</summary>
/// <remarks>
/// The same effort gives the same schedule on every machine, because work is counted and not timed; a limit in seconds is a
/// <see cref="CancellationToken"/>, and then the machine decides how far it gets.
/// </remarks>
public sealed record ShopEffort
{
    /// <summary>A day of a class: proved within a second or two of one idle core, or left with its bound.</summary>
    public static ShopEffort Day { get; } = new();

    /// <summary>Until it is proved, however long that takes.</summary>
    public static ShopEffort UntilProved { get; } = new() { Work = double.PositiveInfinity };

    /// <summary>Where the search begins; another seed finds another schedule of the same length.</summary>
    public int Seed { get; init; } = 1;

    /// <summary>Most work, in the solver's own units.</summary>
    /// <remarks>A unit took two to four seconds of one core, seven where most operations have a choice.</remarks>
    public double Work { get; init; } = 0.5;
}
