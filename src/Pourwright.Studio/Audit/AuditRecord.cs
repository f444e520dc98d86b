using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Audit;

/// <summary>A row of `audit_entries`.</summary>
public sealed record AuditRecord
{
    /// <summary>Instead of a name, until it is entered.</summary>
    public const string EveryStudio = "";

    public long Sequence { get; init; }

    public required string Studio { get; init; }

    public required long EntryMs { get; init; }

    /// <summary>Empty without a good key.</summary>
    public required string AccessKey { get; init; }

    public required Role Role { get; init; }

    public required string Method { get; init; }

    public required AuditEntry.Types.Outcome Outcome { get; init; }

    public required string Reason { get; init; }

    /// <summary>Parted by spaces.</summary>
    public required string Names { get; init; }

    public required string RequestId { get; init; }

    public required string Address { get; init; }

    public required long CallCount { get; init; }

    public AuditEntry ToProto() => new()
    {
        EntryTime = Instants.ToTimestamp(EntryMs),
        AccessKey = AccessKey,
        Role = Role,
        Method = Method,
        Outcome = Outcome,
        Reason = Reason,
        Names = { Names.Split(' ', StringSplitOptions.RemoveEmptyEntries) },
        RequestId = RequestId,
        Address = Address,
        CallCount = CallCount,
    };
}
