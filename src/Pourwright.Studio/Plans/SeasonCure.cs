using System.Collections.Concurrent;
using Pourwright.Planning.CureGaps;
using Pourwright.Planning.Explaining;
using Pourwright.Planning.Season;
using Pourwright.Studio.Offerings;

namespace Pourwright.Studio.Plans;

/// <summary>What the cure model says of a season: every class on the benches of every site, in the air that is expected there.</summary>
/// <remarks>
/// Pieces are taken as poured when their half day ends; a pour that lasts beyond it ends later, and one that lasts into the next
/// half day cannot be. Offerings past those of the facts belong to single classes that stay where they are, see <see cref="Pinned"/>.
/// </remarks>
internal sealed class SeasonCure : ICureGaps
{
    private const double HourMs = 3_600_000;

    private readonly SeasonFacts _facts;
    private readonly CureScenarios _scenarios;
    private readonly DateOnly _firstDay;
    private readonly IReadOnlyList<SiteDays> _days;
    private readonly IReadOnlyList<Pinned> _pinned;
    private readonly OfferingCure[] _offerings;
    private readonly (BenchFacts Facts, SeasonAir Air)[][] _benches;
    private readonly ConcurrentDictionary<(int Site, int Slot), IReadOnlyList<BenchCure>> _airs = new();
    private readonly ConcurrentDictionary<(int Offering, int Site, int Slot), ClassCure> _cures = new();
    private readonly ScenarioCureGaps<ClassCure> _gaps;

    /// <param name="facts">Sites and offerings in their order.</param>
    /// <param name="scenarios">Where what was solved is kept.</param>
    /// <param name="firstDay">Day 0.</param>
    /// <param name="days">Of each site.</param>
    /// <param name="pinned">Classes that stay where they are; their offerings come after those of the facts.</param>
    public SeasonCure(
        SeasonFacts facts, CureScenarios scenarios, DateOnly firstDay, IReadOnlyList<SiteDays> days, IReadOnlyList<Pinned> pinned)
    {
        (_facts, _scenarios, _firstDay, _days, _pinned) = (facts, scenarios, firstDay, days, pinned);
        _offerings = [.. facts.Offerings.Select(Cure)];
        _benches = [.. facts.Sites.Select((site, i) => BenchesOf(site.Name, days[i]))];
        _gaps = new(CureOf, scenarios.Of, facts.Terms.ChanceAllReady);
    }

    /// <summary>A class that stays where it is: its pour slot, and the h from there to its machine day, which are taken as enough.</summary>
    public sealed record Pinned(int Site, int PourSlot, double GapHours);

    /// <summary>How many cures were solved so far, of this season and of others.</summary>
    public int Solved => _scenarios.Solved;

    /// <inheritdoc/>
    public double? LeastHours(int offering, int site, int pourSlot, int pieces)
    {
        if (offering >= _offerings.Length)
            return _pinned[offering - _offerings.Length] is var pin && pin.Site == site && pin.PourSlot == pourSlot ? pin.GapHours : null;
        return LateHours(offering, site, pourSlot) is { } late && !IsDry(offering, site, pourSlot)
            ? _gaps.LeastHours(offering, site, pourSlot, pieces) + late
            : null;
    }

    /// <inheritdoc/>
    public double ChanceAllReady(int offering, int site, int pourSlot, int pieces, double hours)
    {
        if (offering >= _offerings.Length) return 1;
        return LateHours(offering, site, pourSlot) is { } late ? _gaps.ChanceAllReady(offering, site, pourSlot, pieces, hours - late) : 0;
    }

    /// <summary>The same season with its air as expected and a change to it.</summary>
    public SeasonCure With(AirOffset offset) => new(_facts with { Offsets = [.. _facts.Offsets, offset] }, _scenarios, _firstDay, _days, _pinned);

    /// <summary>A class of an offering on the benches of a site.</summary>
    internal ClassCure CureOf(int offering, int site, int slot) => _cures.GetOrAdd((offering, site, slot), _ => new(
        _offerings[offering], _offerings[offering].IsLearned ? _facts.Sites[site].Name : "",
        _airs.GetOrAdd((site, slot), _ => [.. _benches[site].Select(bench => new BenchCure(bench.Facts.Bench.BoardThicknessMm, bench.Air.From(_days[site].EndMs[slot])))])));

    private static OfferingCure Cure(OfferingFacts facts)
    {
        var offering = facts.Offering;
        return new(
            $"{offering.Name} {offering.Etag} {facts.Resin.Revision}", facts.Resin,
            [.. offering.Pours().Select(layer => (layer.DepthMm, layer.PourOffsetMs / HourMs))], offering.ChannelWidthMm);
    }

    private (BenchFacts, SeasonAir)[] BenchesOf(string site, SiteDays days) =>
    [
        .. _facts.Benches.Where(bench => bench.Bench.Site == site && bench.Bench.Places > 0)
            .Select(bench => (bench, SeasonAir.Of(bench.Stay, days.EndMs[^1], [.. _facts.Offsets.Where(offset => offset.Site == site)]))),
    ];

    /// <summary>H from the end of the half day to the end of the pour; null where that lies in the next half day.</summary>
    private double? LateHours(int offering, int site, int slot)
    {
        var days = _days[site];
        var endMs = days.StartMs[slot] + _facts.Offerings[offering].Offering.PourMinutes * 60_000L;
        if (endMs <= days.EndMs[slot]) return 0;
        return slot % 2 == 0 && endMs > days.StartMs[slot + 1] ? null : (endMs - days.EndMs[slot]) / HourMs;
    }

    private bool IsDry(int offering, int site, int slot)
    {
        var day = _firstDay.AddDays(slot / 2);
        return _facts.Dry.Any(dry => dry.Site == _facts.Sites[site].Name
            && dry.ResinSystem == _facts.Offerings[offering].Offering.ResinSystem && dry.First <= day && day <= dry.Last);
    }
}
