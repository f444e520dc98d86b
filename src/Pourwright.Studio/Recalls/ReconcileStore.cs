using Pourwright.Studio.Lots;
using Pourwright.Studio.Mixes;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Trace;
using Pourwright.V1;

namespace Pourwright.Studio.Recalls;

/// <summary>SQL of scales and masses.</summary>
public static class ReconcileStore
{
    /// <summary>The masses of a lot, a container or a mix.</summary>
    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND, CONTAINER_NOT_FOUND, MIX_NOT_FOUND.</exception>
    public static Reconciliation Reconcile(StudioSession session, string name, long nowMs)
    {
        var scales = new ScaleBook(AllScales(session, ResourceNames.StudioOf(name)));
        if (ResourceKind.Mix.Matches(name)) return ReconcileMix.Decide(LoadMix(session, MixStore.GetMix(session, name), scales), nowMs);
        if (ResourceKind.Lot.Matches(name)) return ReconcileLot.Decide(LoadLot(session, LotStore.GetLot(session, name).Name, scales));
        var container = LotStore.GetContainer(session, name);
        return ReconcileContainer.Decide(container, LotStore.Events(session, name), scales.Of(container.Site, ""));
    }

    public static IReadOnlyList<ScaleRecord> ListScales(StudioSession session, string site, PageRequest page) => session.Query<ScaleRecord>(
        """
        SELECT site, scale, resolution_mg, pot_residue_mg FROM scales
         WHERE site = @site AND (@isFirst = 1 OR scale > @after) ORDER BY scale LIMIT @limit
        """, new { site, isFirst = page.After is null, after = page.AfterText, limit = page.Limit });

    public static void SaveScale(StudioTransaction tx, ScaleRecord scale) => tx.Execute(
        """
        INSERT INTO scales (site, scale, resolution_mg, pot_residue_mg) VALUES (@Site, @Scale, @ResolutionMg, @PotResidueMg)
        ON CONFLICT (site, scale) DO UPDATE SET resolution_mg = excluded.resolution_mg, pot_residue_mg = excluded.pot_residue_mg
        """, scale);

    private static IReadOnlyList<ScaleRecord> AllScales(StudioSession session, string studio) => session.Query<ScaleRecord>(
        """
        SELECT c.site, c.scale, c.resolution_mg, c.pot_residue_mg FROM scales c JOIN sites s ON s.name = c.site WHERE s.studio = @studio
        """, new { studio });

    private static LotMasses LoadLot(StudioSession session, string lot, ScaleBook scales)
    {
        var moves = TraceStore.Moves(session, lot);
        return new()
        {
            Lot = lot,
            Containers = LotStore.ContainersOf(session, lot),
            Moves = moves,
            Mixes = MixStore.GetMixes(session, moves.Select(move => move.Mix).OfType<string>().Distinct()),
            Scales = scales,
        };
    }

    private static MixMasses LoadMix(StudioSession session, MixRecord mix, ScaleBook scales)
    {
        var left = session.Find<MixSums>(
            """
            SELECT (SELECT CAST(coalesce(sum(mass_mg), 0) AS BIGINT) FROM current_pours WHERE mix = @Name) AS poured_mg,
                   (SELECT CAST(coalesce(sum(mass_mg), 0) AS BIGINT) FROM mix_discards WHERE mix = @Name) AS discarded_mg,
                   (SELECT count(*) FROM current_pours WHERE mix = @Name) + (SELECT count(*) FROM mix_discards WHERE mix = @Name)
                       + (SELECT count(*) FROM current_events WHERE mix = @Name AND kind = 'mixed') AS weighings
            """, new { mix.Name })!;
        return new(mix, left.PouredMg, left.DiscardedMg, left.Weighings, scales.Of(mix.Site, mix.Scale));
    }

    private sealed record MixSums(long PouredMg, long DiscardedMg, int Weighings);
}
