using Pourwright.Studio.Storage;
using Pourwright.V1;

namespace Pourwright.Studio.Access;

/// <summary>A row of `access_keys`. Its secret is not in it.</summary>
public sealed record AccessKeyRecord
{
    public required string Name { get; init; }

    /// <summary>Null for a key of every studio of the node.</summary>
    public required string? Studio { get; init; }

    public required string DisplayName { get; init; }

    public required Role Role { get; init; }

    /// <summary>Names, parted by spaces; empty for all.</summary>
    public required string Sites { get; init; }

    public required byte[] KeySha256 { get; init; }
    public required long CreateMs { get; init; }
    public long? ExpireMs { get; init; }
    public long? RevokeMs { get; init; }

    public IReadOnlyList<string> SiteNames => Sites.Split(' ', StringSplitOptions.RemoveEmptyEntries);

    public Caller ToCaller() => new(Name, DisplayName, Role, Studio ?? "", SiteNames);

    /// <summary>What is told of it; its secret is added once, where it is made.</summary>
    public AccessKey ToProto() => new()
    {
        Name = Name,
        DisplayName = DisplayName,
        Role = Role,
        Sites = { SiteNames },
        CreateTime = Instants.ToTimestamp(CreateMs),
        ExpireTime = Instants.ToTimestamp(ExpireMs),
        RevokeTime = Instants.ToTimestamp(RevokeMs),
    };
}
