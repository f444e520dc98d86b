using System.Collections.Concurrent;
using Pourwright.Planning.Season;

namespace Pourwright.Planning.CureGaps;

/// <summary>Cure gaps from scenarios, each course of the air solved once; may be asked from several threads.</summary>
/// <typeparam name="TCourse">
/// What pours have in common that cure alike, compared by value: offering, site and pour slot where the weather comes in; the
/// offering and the room alone where it is held at one temperature.
/// </typeparam>
/// <param name="course">Which course an (offering, site, pour slot) takes; asked often, so quick.</param>
/// <param name="scenarios">What the cure model says of a course; asked once a course.</param>
/// <param name="chance">Chance asked for, see <see cref="PlanTerms.ChanceAllReady"/>.</param>
public sealed class ScenarioCureGaps<TCourse>(
    Func<int, int, int, TCourse> course, Func<TCourse, IReadOnlyCollection<ReadyScenario>> scenarios, double chance) : ICureGaps
    where TCourse : notnull
{
    private readonly ConcurrentDictionary<TCourse, Lazy<ClassReadiness>> readiness = new();
    private readonly ConcurrentDictionary<(TCourse, int Pieces), double?> leastHours = new();

    /// <inheritdoc/>
    public double? LeastHours(int offering, int site, int pourSlot, int pieces) => leastHours.GetOrAdd(
        (course(offering, site, pourSlot), pieces), key => Of(key.Item1).LeastHours(key.Pieces, chance));

    /// <inheritdoc/>
    /// <remarks>Computed anew each time, so that a checker does not trust what the planner was told.</remarks>
    public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours) =>
        Of(course(offering, site, pourSlot)).ChanceAllReady(pieces, hours);

    // Lazy, because GetOrAdd may call twice and a cure takes its time.
    private ClassReadiness Of(TCourse key) => readiness.GetOrAdd(key, k => new(() => new(scenarios(k)))).Value;
}
