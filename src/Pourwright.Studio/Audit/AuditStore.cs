using Pourwright.Studio.Names;
using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>SQL of the audit.</summary>
internal static class AuditStore
{
    public static void Insert(StudioTransaction tx, AuditRecord entry) => tx.Execute(
        """
        INSERT INTO audit_entries (studio, entry_ms, access_key, role, method, outcome, reason, names, request_id, address, call_count)
        VALUES (@Studio, @EntryMs, @AccessKey, @Role, @Method, @Outcome, @Reason, @Names, @RequestId, @Address, @CallCount)
        """,
        new
        {
            entry.Studio, entry.EntryMs, entry.AccessKey, Role = (long)entry.Role, entry.Method, Outcome = (long)entry.Outcome, entry.Reason,
            entry.Names, entry.RequestId, entry.Address, entry.CallCount,
        });

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
}
