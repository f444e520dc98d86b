using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;

namespace Pourwright.Studio.Lots;

/// <summary>SQL of lots, containers and what happened to them.</summary>
public static class LotStore
{
    private const string LotColumns =
        """
        SELECT l.name, l.studio, l.part, l.resin_system, l.supplier, l.supplier_lot_code, l.content, l.expiry_date,
               l.receive_ms, l.received_mass_mg, l.held, l.hold_reason, l.label_text, l.gtin, l.cautions
          FROM lots l
        """;

    private const string ContainerColumns =
        """
        SELECT c.name, c.studio, c.site, c.part, c.resin_system, c.state, c.held, c.hold_reason, c.received_mass_mg,
               c.remaining_mass_mg, c.open_ms, c.expire_ms
          FROM containers c
        """;

    // Back from a container: every container poured into it, each up to the event that did so. An event is followed only
    // to events before it, so the walk ends even where two containers were poured into each other.
    private const string Inside =
        """
        WITH RECURSIVE inside (container, before) AS (
            SELECT @container, @before
             UNION
            SELECT e.other_container, e.sequence
              FROM inside i
              JOIN container_events e ON e.container = i.container AND e.kind = 'filled' AND e.sequence < i.before)
        """;

    // Nothing where another container was ever poured into this one.
    private const string LotsAsTheyCame =
        $"""
        {LotColumns}
          JOIN container_events e ON e.lot = l.name AND e.container = @container AND e.kind = 'received' AND e.sequence < @before
         WHERE NOT EXISTS (SELECT 1 FROM container_events f WHERE f.container = @container AND f.kind = 'filled' AND f.sequence < @before)
        """;

    private const string LotsThroughOthers =
        $"""
        {Inside}
        {LotColumns}
         WHERE l.name IN (
            SELECT e.lot
              FROM inside i
              JOIN container_events e ON e.container = i.container AND e.kind = 'received' AND e.sequence < i.before)
         ORDER BY l.name
        """;

    // Forward from a lot: every container it reached, each from the event on that brought it.
    private const string Holding =
        """
        WITH RECURSIVE holding (container, since) AS (
            SELECT container, sequence FROM container_events WHERE lot = @lot AND kind = 'received'
             UNION
            SELECT e.container, e.sequence
              FROM holding h
              JOIN container_events e ON e.other_container = h.container AND e.kind = 'filled' AND e.sequence > h.since)
        """;

    // Forward from a container, from its first event on: what was in it before something else came in counts as well.
    private const string HoldingFrom =
        """
        WITH RECURSIVE holding (container, since) AS (
            SELECT @container, CAST(0 AS BIGINT)
             UNION
            SELECT e.container, e.sequence
              FROM holding h
              JOIN container_events e ON e.other_container = h.container AND e.kind = 'filled' AND e.sequence > h.since)
        """;

    private const string DrawsSinceHolding =
        """
        SELECT e.mix, e.container, c.part, -e.mass_mg AS mass_mg, e.sequence
          FROM (SELECT container, min(since) AS since FROM holding GROUP BY container) h
          JOIN current_events e ON e.container = h.container AND e.kind = 'mixed' AND e.recorded_sequence > h.since AND e.sequence > h.since
          JOIN containers c ON c.name = e.container
         ORDER BY e.sequence
        """;

    public static LotRecord? FindLot(StudioSession session, string name) =>
        session.Find<LotRecord>($"{LotColumns} WHERE l.name = @name", new { name });

    /// <exception cref="Refusals.Refusal">LOT_NOT_FOUND.</exception>
    public static LotRecord GetLot(StudioSession session, string name) =>
        FindLot(session, name) ?? throw ResourceKind.Lot.NotFound(name);

    public static IReadOnlyList<LotRecord> ListLots(StudioSession session, string studio, PageRequest page) =>
        session.Query<LotRecord>(
            $"{LotColumns} WHERE l.studio = @studio AND l.name > @after ORDER BY l.name LIMIT @limit",
            new { studio, after = page.AfterText, limit = page.Limit });

    /// <summary>Lots with one code of a supplier's, in the order they came in.</summary>
    public static IReadOnlyList<LotRecord> LotsOfSupplierCode(StudioSession session, string studio, string code) =>
        session.Query<LotRecord>(
            $"{LotColumns} WHERE l.studio = @studio AND l.supplier_lot_code = @code ORDER BY l.receive_ms, l.name", new { studio, code });

    public static ContainerRecord? FindContainer(StudioSession session, string name) =>
        session.Find<ContainerRecord>($"{ContainerColumns} WHERE c.name = @name", new { name });

    /// <exception cref="Refusals.Refusal">CONTAINER_NOT_FOUND.</exception>
    public static ContainerRecord GetContainer(StudioSession session, string name) =>
        FindContainer(session, name) ?? throw ResourceKind.Container.NotFound(name);

    /// <summary>A container with every lot in it.</summary>
    /// <exception cref="Refusals.Refusal">CONTAINER_NOT_FOUND.</exception>
    public static ContainerContents GetContents(StudioSession session, string name) =>
        ContentsOf(session, GetContainer(session, name));

    public static ContainerContents ContentsOf(StudioSession session, ContainerRecord container) =>
        new(container, LotsIn(session, container.Name));

    /// <summary>By name; empty <paramref name="site"/> is any, empty <paramref name="lot"/> is any.</summary>
    public static IReadOnlyList<ContainerRecord> ListContainers(
        StudioSession session, string studio, string site, string lot, bool showSpent, PageRequest page) =>
        session.Query<ContainerRecord>(
            $"""
            {Holding}
            {ContainerColumns}
             WHERE c.studio = @studio AND c.name > @after
               AND (@site = '' OR c.site = @site)
               AND (@lot = '' OR c.name IN (SELECT container FROM holding))
               AND (@showSpent = 1 OR c.state <> 3)
             ORDER BY c.name LIMIT @limit
            """,
            new { studio, site, lot, showSpent, after = page.AfterText, limit = page.Limit });

    /// <summary>Every lot that was put into a container, directly or through others, before the event <paramref name="beforeSequence"/>; without it, up to now.</summary>
    /// <remarks>Most cans are as they came, and a mix asks of each: their lots are found in a tenth of the time that the walk takes.</remarks>
    public static IReadOnlyList<LotRecord> LotsIn(StudioSession session, string container, long? beforeSequence = null)
    {
        var from = new { container, before = beforeSequence ?? long.MaxValue };
        return session.Query<LotRecord>(LotsAsTheyCame, from) is { Count: > 0 } lots ? [.. lots.DistinctBy(lot => lot.Name).OrderBy(lot => lot.Name, StringComparer.Ordinal)]
            : session.Query<LotRecord>(LotsThroughOthers, from);
    }

    /// <summary>A container, and every one that was poured into it, directly or through others, before the event <paramref name="beforeSequence"/>.</summary>
    public static IReadOnlyList<string> ContainersInside(StudioSession session, string container, long beforeSequence) =>
        session.Query<string>($"{Inside} SELECT DISTINCT container FROM inside", new { container, before = beforeSequence });

    /// <summary>Every container a lot reached, directly or through others, spent ones too.</summary>
    public static IReadOnlyList<ContainerRecord> ContainersOf(StudioSession session, string lot) =>
        session.Query<ContainerRecord>(
            $"{Holding} {ContainerColumns} WHERE c.name IN (SELECT container FROM holding) ORDER BY c.name", new { lot });

    /// <summary>Every draw into a mix that holds some of a lot: those made after the lot came into the container.</summary>
    public static IReadOnlyList<DrawRecord> DrawsOfLot(StudioSession session, string lot) =>
        session.Query<DrawRecord>($"{Holding} {DrawsSinceHolding}", new { lot });

    /// <summary>Every container that something of this one reached, directly or through others, itself included.</summary>
    public static IReadOnlyList<ContainerRecord> ContainersFrom(StudioSession session, string container) =>
        session.Query<ContainerRecord>(
            $"{HoldingFrom} {ContainerColumns} WHERE c.name IN (SELECT container FROM holding) ORDER BY c.name", new { container });

    /// <summary>Every draw into a mix that holds something of this container.</summary>
    public static IReadOnlyList<DrawRecord> DrawsFrom(StudioSession session, string container) =>
        session.Query<DrawRecord>($"{HoldingFrom} {DrawsSinceHolding}", new { container });

    /// <summary>What went into a mix, in the order it was given.</summary>
    public static IReadOnlyList<DrawRecord> Draws(StudioSession session, string mix) =>
        session.Query<DrawRecord>(
            """
            SELECT e.mix, e.container, c.part, -e.mass_mg AS mass_mg, e.sequence
              FROM current_events e
              JOIN containers c ON c.name = e.container
             WHERE e.mix = @mix AND e.kind = 'mixed'
             ORDER BY e.sequence
            """,
            new { mix });

    /// <summary>Every lot in every draw of the mixes of a studio that were mixed from an instant, inclusive, to another, exclusive; walked for all of them at once.</summary>
    public static IReadOnlyList<DrawnLot> DrawnLots(StudioSession session, string studio, long fromMs, long toMs) =>
        session.Query<DrawnLot>(
            """
            WITH RECURSIVE inside (draw, container, before) AS (
                SELECT e.recorded_sequence, e.container, e.sequence
                  FROM mixes m
                  JOIN current_events e ON e.mix = m.name AND e.kind = 'mixed'
                 WHERE m.studio = @studio AND m.mix_ms >= @fromMs AND m.mix_ms < @toMs
                 UNION
                SELECT i.draw, e.other_container, e.sequence
                  FROM inside i
                  JOIN container_events e ON e.container = i.container AND e.kind = 'filled' AND e.sequence < i.before)
            SELECT DISTINCT d.mix, d.container, c.part, r.lot
              FROM inside i
              JOIN container_events d ON d.sequence = i.draw
              JOIN containers c ON c.name = d.container
              LEFT JOIN container_events r ON r.container = i.container AND r.kind = 'received' AND r.sequence < i.before
             ORDER BY d.mix, d.container, r.lot NULLS FIRST
            """,
            new { studio, fromMs, toMs });

    /// <summary>What happened to a container, as it is right, first to last.</summary>
    public static IReadOnlyList<StandingEvent> Events(StudioSession session, string container) =>
        session.Query<StandingEvent>(
            """
            SELECT sequence, recorded_sequence, kind, mass_mg, other_container, mix, site, reason, event_ms
              FROM current_events WHERE container = @container ORDER BY sequence, recorded_sequence
            """,
            new { container });

    /// <summary>Unix ms at which a container came in or was first filled.</summary>
    public static long FirstEventMs(StudioSession session, string container) => session.Scalar<long>(
        "SELECT event_ms FROM container_events WHERE container = @container ORDER BY sequence LIMIT 1", new { container });

    public static bool WasDiscarded(StudioSession session, string container) => session.Scalar<bool>(
        "SELECT EXISTS (SELECT 1 FROM container_events WHERE container = @container AND kind = 'discarded')", new { container });

    /// <exception cref="Refusals.Refusal">LOT_EXISTS.</exception>
    public static void RequireNewLot(StudioSession session, string name)
    {
        if (FindLot(session, name) is not null) throw ResourceKind.Lot.AlreadyExists(name);
    }

    public static void InsertLot(StudioTransaction tx, LotRecord lot) => tx.Execute(
        """
        INSERT INTO lots (name, studio, part, resin_system, supplier, supplier_lot_code, content, expiry_date,
                          receive_ms, received_mass_mg, held, hold_reason, label_text, gtin, cautions)
        VALUES (@Name, @Studio, @Part, @ResinSystem, @Supplier, @SupplierLotCode, @Content, @ExpiryDate,
                @ReceiveMs, @ReceivedMassMg, @Held, @HoldReason, @LabelText, @Gtin, @Cautions)
        """,
        lot);

    public static void UpdateHold(StudioTransaction tx, LotRecord lot) =>
        tx.Execute("UPDATE lots SET held = @Held, hold_reason = @HoldReason WHERE name = @Name", lot);

    /// <exception cref="Refusals.Refusal">CONTAINER_EXISTS.</exception>
    public static void RequireNewContainer(StudioSession session, string name)
    {
        if (FindContainer(session, name) is not null) throw ResourceKind.Container.AlreadyExists(name);
    }

    /// <summary>Saves how containers stand now, and then what happened, in the order given.</summary>
    public static void Save(StudioTransaction tx, IReadOnlyList<ContainerChange> changes)
    {
        foreach (var change in changes) SaveContainer(tx, change.Container);
        foreach (var happened in changes.SelectMany(change => change.Events)) InsertEvent(tx, happened);
    }

    private static void SaveContainer(StudioTransaction tx, ContainerRecord container) => tx.Execute(
        """
        INSERT INTO containers (name, studio, site, part, resin_system, state, held, hold_reason, received_mass_mg,
                                remaining_mass_mg, open_ms, expire_ms)
        VALUES (@Name, @Studio, @Site, @Part, @ResinSystem, @State, @Held, @HoldReason, @ReceivedMassMg,
                @RemainingMassMg, @OpenMs, @ExpireMs)
        ON CONFLICT (name) DO UPDATE
           SET site = excluded.site, state = excluded.state, held = excluded.held, hold_reason = excluded.hold_reason,
               remaining_mass_mg = excluded.remaining_mass_mg, open_ms = excluded.open_ms, expire_ms = excluded.expire_ms
        """,
        container);

    private static void InsertEvent(StudioTransaction tx, ContainerEventRecord happened) => tx.Execute(
        """
        INSERT INTO container_events (container, kind, mass_mg, lot, other_container, mix, site, reason, event_ms,
                                      correction, corrects, place)
        VALUES (@Container, @Kind, @MassMg, @Lot, @OtherContainer, @Mix, @Site, @Reason, @EventMs,
                @Correction, @Corrects, @Place)
        """,
        happened);
}
