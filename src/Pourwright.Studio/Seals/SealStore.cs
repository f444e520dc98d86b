using Pourwright.Evidence.Sealing;
using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;

namespace Pourwright.Studio.Seals;

/// <summary>SQL of seals and chains.</summary>
public static class SealStore
{
    private const string Columns = "SELECT name, studio, seal_ms, first_head, head_count, root FROM seals";

    private const string HeadColumns = "SELECT site, row_count, link, seal_ms FROM sealed_heads";

    /// <exception cref="Refusals.Refusal">SEAL_NOT_FOUND.</exception>
    public static SealRecord GetSeal(StudioSession session, string name) =>
        FindSeal(session, name) ?? throw ResourceKind.Seal.NotFound(name);

    /// <summary>Newest first.</summary>
    public static IReadOnlyList<SealRecord> ListSeals(StudioSession session, string studio, PageRequest page) => session.Query<SealRecord>(
        $"{Columns} WHERE studio = @studio AND head_count < @before ORDER BY head_count DESC LIMIT @limit",
        new { studio, before = page.BeforeNumber, limit = page.Limit });

    /// <summary>All seals of a studio, oldest first.</summary>
    public static IReadOnlyList<SealRecord> GetSeals(StudioSession session, string studio) =>
        session.Query<SealRecord>($"{Columns} WHERE studio = @studio ORDER BY head_count, name", new { studio });

    public static SealRecord? LastSeal(StudioSession session, string studio) => session.Find<SealRecord>(
        $"{Columns} WHERE studio = @studio ORDER BY head_count DESC LIMIT 1", new { studio });

    /// <summary>The heads of one seal, by chain.</summary>
    public static IReadOnlyList<HeadRecord> HeadsOf(StudioSession session, SealRecord seal) => session.Query<HeadRecord>(
        $"{HeadColumns} WHERE studio = @Studio AND position >= @FirstHead AND position < @HeadCount ORDER BY position", seal);

    /// <summary>All heads of a studio, oldest first.</summary>
    public static IReadOnlyList<HeadRecord> GetHeads(StudioSession session, string studio) =>
        session.Query<HeadRecord>($"{HeadColumns} WHERE studio = @studio ORDER BY position", new { studio });

    /// <summary>The chains that a studio records in: its own and those of its sites, by name.</summary>
    public static IReadOnlyList<string> GetChains(StudioSession session, string studio) => session.Query<string>(
        "SELECT @studio AS name UNION SELECT name FROM sites WHERE studio = @studio ORDER BY name", new { studio });

    /// <summary>The last link of a chain; null where it has none.</summary>
    public static LinkRecord? LastLink(StudioSession session, string chain) => session.Find<LinkRecord>(
        """
        SELECT position, record_table, record_key, column_count, link FROM chain_rows
         WHERE site = @chain ORDER BY position DESC LIMIT 1
        """, new { chain });

    /// <summary>Seals how far each chain of a studio has come.</summary>
    /// <exception cref="Refusals.Refusal">SEAL_EXISTS.</exception>
    public static SealRecord Save(StudioTransaction tx, string studio, string name)
    {
        if (FindSeal(tx, name) is not null) throw ResourceKind.Seal.AlreadyExists(name);
        var earlier = GetHeads(tx, studio);
        var seal = Seal.Of([.. earlier.Select(head => head.ToHead())], Lasts(tx, studio), tx.Now);
        var record = new SealRecord(name, studio, tx.Now.ToUnixMs(), earlier.Count, seal.HeadCount, seal.Root.Hex);
        tx.Execute(
            """
            INSERT INTO seals (name, studio, seal_ms, first_head, head_count, root) VALUES (@Name, @Studio, @SealMs, @FirstHead, @HeadCount, @Root)
            """, record);
        tx.Execute(
            """
            INSERT INTO sealed_heads (studio, position, site, row_count, link, seal_ms) VALUES (@studio, @position, @Site, @RowCount, @Link, @SealMs)
            """,
            seal.Heads.Select(HeadRecord.Of).Select((head, index) =>
                new { studio, position = earlier.Count + index, head.Site, head.RowCount, head.Link, head.SealMs }));
        return record;
    }

    /// <summary>Links of a studio after its last seal.</summary>
    public static long UnsealedCount(StudioSession session, string studio)
    {
        var sealedCount = LastSeal(session, studio) is { } last ? HeadsOf(session, last).Sum(head => head.RowCount) : 0;
        return GetChains(session, studio).Sum(chain => LastLink(session, chain) is { } link ? link.Position + 1 : 0) - sealedCount;
    }

    private static IEnumerable<(string, ChainRow?)> Lasts(StudioSession session, string studio) => GetChains(session, studio).Select(chain =>
        (chain, LastLink(session, chain) is { } last ? new ChainRow(chain, last.Position, [], EvidenceChain.Reached(last.Link)) : null));

    private static SealRecord? FindSeal(StudioSession session, string name) =>
        session.Find<SealRecord>($"{Columns} WHERE name = @name", new { name });
}
