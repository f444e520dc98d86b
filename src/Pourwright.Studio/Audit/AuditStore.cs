using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>SQL of the audit.</summary>
internal static class AuditStore
{
    /// <summary>Names of students that are on record are kept so that they can be forgotten; of others only that there were some.</summary>
    public static void Insert(StudioTransaction tx, AuditRecord entry) => InsertAsIs(tx, StudentNames.AreIn(entry)
        ? entry with
        {
            Names = string.Join(' ', entry.EachName.Select(name => StudentNames.OnRecord(tx, entry.Studio, name)).Distinct()),
            AccessKey = StudentNames.OnRecord(tx, entry.Studio, entry.AccessKey),
            SealSalt = SealedText.NewSalt(),
        }
        : entry);

    /// <summary>Puts other names in place of some, in every entry of the studio that can forget. Entries from before there were seals stay.</summary>
    /// <param name="tx">The write.</param>
    /// <param name="studio">Whose audit.</param>
    /// <param name="person">The pseudonym of whom they named.</param>
    /// <param name="others">By the name that is to go; what stands below it goes with it.</param>
    public static void Erase(StudioTransaction tx, string studio, string person, IReadOnlyDictionary<string, string> others)
    {
        foreach (var entry in tx.Query<NamingEntry>("SELECT sequence, access_key, names FROM audit_entries WHERE studio = @studio AND names_seal IS NOT NULL ORDER BY sequence", new { studio }))
        {
            var (key, names) = (Renamed(entry.AccessKey), string.Join(' ', entry.Names.Split(' ').Select(Renamed).Distinct()));
            if ((key, names) != (entry.AccessKey, entry.Names))
                Erasure.Erase(tx, EvidenceTable.Find("audit_entries")!, entry.Sequence, studio, person, new Dictionary<string, string> { ["names"] = names, ["access_key"] = key });
        }

        string Renamed(string name) => others.Keys.FirstOrDefault(other => name == other || ResourceNames.IsUnder(name, other)) is { } gone ? others[gone] : name;
    }

    /// <summary>Newest first. DENIED is the last of the outcomes.</summary>
    public static IReadOnlyList<AuditRecord> List(StudioSession session, ListAuditEntriesRequest asked, PageRequest page) => session.Query<AuditRecord>(
        """
        SELECT sequence, studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count
          FROM audit_entries
         WHERE studio = @Parent AND sequence < @before AND entry_ms >= @fromMs AND entry_ms < @toMs
           AND (@AccessKey = '' OR access_key = @AccessKey)
           AND (@Method = '' OR method = @Method)
           AND (@Subject = '' OR ' ' || names || ' ' LIKE @pattern)
           AND outcome >= @outcome
         ORDER BY sequence DESC LIMIT @limit
        """,
        new
        {
            asked.Parent, asked.AccessKey, asked.Method, asked.Subject, before = page.BeforeNumber,
            fromMs = asked.StartTime.ToUnixMsOrNull() ?? long.MinValue, toMs = asked.EndTime.ToUnixMsOrNull() ?? long.MaxValue,
            pattern = $"% {asked.Subject} %", outcome = asked.DeniedOnly ? (long)AuditEntry.Types.Outcome.Denied : 0, limit = page.Limit,
        });

    private static void InsertAsIs(StudioTransaction tx, AuditRecord entry) => tx.Execute(
        """
        INSERT INTO audit_entries (studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count, seal_salt, names_seal, access_key_seal)
        VALUES (@Studio, @EntryMs, @AccessKey, @Role, @Method, @Outcome, @Reason, @Names, @RequestId, @Address, @CallCount, @SealSalt, @NamesSeal, @AccessKeySeal)
        """,
        new
        {
            entry.Studio, entry.EntryMs, entry.AccessKey, Role = (long)entry.Role, entry.Method, Outcome = (long)entry.Outcome, entry.Reason,
            entry.Names, entry.RequestId, entry.Address, entry.CallCount, entry.SealSalt, entry.NamesSeal, entry.AccessKeySeal,
        });

    private sealed record NamingEntry
    {
        public required long Sequence { get; init; }
        public required string AccessKey { get; init; }
        public required string Names { get; init; }
    }
}
