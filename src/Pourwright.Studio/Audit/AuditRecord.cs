using Pourwright.Studio.Storage;
using Pourwright.Studio.Storage.Chain;
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

    /// <summary>Given when it is saved, to an entry that names a student, and not read again: see <see cref="SealedText"/>.</summary>
    public string? SealSalt { get; init; }

    public string? NamesSeal => SealOf("names", Names);

    public string? AccessKeySeal => SealOf("access_key", AccessKey);

    /// <summary>The names, one by one.</summary>
    public IEnumerable<string> EachName => Names.Split(' ', StringSplitOptions.RemoveEmptyEntries);

    public AuditEntry ToProto() => new()
    {
        EntryTime = Instants.ToTimestamp(EntryMs),
        AccessKey = AccessKey,
        Role = Role,
        Method = Method,
        Outcome = Outcome,
        Reason = Reason,
        Names = { EachName },
        RequestId = RequestId,
        Address = Address,
        CallCount = CallCount,
    };

    private string? SealOf(string column, string text) => SealSalt is { } salt ? SealedText.SealOf(salt, column, text) : null;
}
